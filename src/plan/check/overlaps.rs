//! Things where only one thing can be: seats in columns, people in tables, cameras where nobody may stand.

use super::context::{At, Checker};
use crate::plan::model::*;
use crate::plan::problem::ProblemKind;
use crate::plan::seats::forward;
use glam::Vec2;
use std::collections::{BTreeMap, BTreeSet};

/// Seats of two blocks nearer than this overlap: less than the narrowest seat pitch.
const SEATS_APART_M: f32 = 0.28;

impl<'p> Checker<'p> {
    pub fn overlaps(&mut self, plan: &Plan, top: At<'p>) {
        let venue_at = top.field("venue");
        self.seats_in_fixtures(&plan.venue, venue_at);
        self.seats_in_rooms(&plan.venue, venue_at);
        self.seats_in_seats(&plan.venue, venue_at);
        self.seats_in_aisles(&plan.venue, venue_at);
        self.standpoints_where_nobody_may_stand(plan, top);
        self.people_in_fixtures(plan, top);
    }

    fn seats_in_fixtures(&mut self, venue: &Venue, at: At<'p>) {
        for (block_index, block) in venue.seats.iter().enumerate() {
            for (index, fixture) in venue.fixtures.iter().enumerate() {
                let Some(half) =
                    footprint(fixture).filter(|_| !matches!(fixture.kind, FixtureKind::Chair | FixtureKind::Bench))
                else {
                    continue;
                };
                if block.seat_centres().any(|seat| is_inside(seat, fixture.at, fixture.heading, half)) {
                    let fixture_span = at.field("fixtures").item(index).head();
                    self.report_with(
                        ProblemKind::Overlap,
                        at.field("seats").item(block_index).head(),
                        format!("seats of `{}` stand where `{}` stands", block.id, fixture.id),
                        "this block of seats",
                        "move one of the two, or split the block in front of and behind it",
                        (fixture_span, format!("`{}` is here", fixture.id)),
                    );
                }
            }
        }
    }

    fn seats_in_rooms(&mut self, venue: &Venue, at: At<'p>) {
        for (block_index, block) in venue.seats.iter().enumerate() {
            for (index, room) in venue.rooms.iter().enumerate() {
                let half = room.size_m / 2.0 + Vec2::splat(0.01);
                let (inside, all) = block.seat_centres().fold((0, 0), |(inside, all), seat| {
                    (inside + u32::from(is_inside(seat, room.centre, room.heading, half)), all + 1)
                });
                if inside > 0 && inside < all {
                    let outside = all - inside;
                    self.report_with(
                        ProblemKind::Overlap,
                        at.field("seats").item(block_index).head(),
                        format!("{outside} of {all} seats of `{}` are outside the room `{}`", block.id, room.id),
                        "this block of seats goes through the wall",
                        "fewer rows or seats, or a smaller pitch, or a larger room",
                        (at.field("rooms").item(index).head(), "the room".to_owned()),
                    );
                }
            }
        }
    }

    fn seats_in_seats(&mut self, venue: &Venue, at: At<'p>) {
        // Cells as wide as the distance asked for: a near seat is in the same cell or beside it.
        let cell = |seat: Vec2| ((seat.x / SEATS_APART_M).floor() as i32, (seat.y / SEATS_APART_M).floor() as i32);
        let mut cells: BTreeMap<(i32, i32), Vec<(usize, Vec2)>> = BTreeMap::new();
        let mut told = BTreeSet::new();
        for (block_index, block) in venue.seats.iter().enumerate() {
            for seat in block.seat_centres() {
                let (x, z) = cell(seat);
                let around = (x - 1..=x + 1).flat_map(|x| (z - 1..=z + 1).map(move |z| (x, z)));
                let near = around.filter_map(|cell| cells.get(&cell)).flatten();
                let hit = near
                    .filter(|(other, spot)| *other != block_index && spot.distance(seat) < SEATS_APART_M)
                    .map(|(other, _)| *other)
                    .next();
                if let Some(other) = hit
                    && told.insert((other, block_index))
                {
                    self.report_with(
                        ProblemKind::Overlap,
                        at.field("seats").item(block_index).head(),
                        format!("the blocks of seats `{}` and `{}` overlap", venue.seats[other].id, block.id),
                        "this block",
                        "move one of them: `front` is the middle of its front row",
                        (at.field("seats").item(other).head(), "and this one".to_owned()),
                    );
                }
                cells.entry((x, z)).or_default().push((block_index, seat));
            }
        }
    }

    fn seats_in_aisles(&mut self, venue: &Venue, at: At<'p>) {
        for (index, aisle) in venue.aisles.iter().enumerate() {
            for (block_index, block) in venue.seats.iter().enumerate() {
                let blocked = block
                    .seat_centres()
                    .filter(|seat| distance_to_segment(*seat, aisle.from, aisle.to) < aisle.width_m / 2.0)
                    .count();
                if blocked > 0 {
                    let width = self.length(f64::from(aisle.width_m));
                    self.report_with(
                        ProblemKind::Overlap,
                        at.field("aisles").item(index).head(),
                        format!("{blocked} seats of `{}` stand in this aisle", block.id),
                        format!("the aisle is {width} wide"),
                        "move the block of seats, make the aisle narrower, or use a block on each side of it",
                        (at.field("seats").item(block_index).head(), "the block of seats".to_owned()),
                    );
                }
            }
        }
    }

    fn standpoints_where_nobody_may_stand(&mut self, plan: &Plan, top: At<'p>) {
        for (index, standpoint) in plan.standpoints.iter().enumerate() {
            let record = top.field("standpoints").item(index);
            for (place, keep_out) in plan.venue.keep_outs.iter().enumerate() {
                if is_in_outline(standpoint.at, &keep_out.outline) {
                    let why = if keep_out.why.is_empty() { String::new() } else { format!(": {}", keep_out.why) };
                    self.report_with(
                        ProblemKind::Overlap,
                        record.field("at").span(),
                        format!("the standpoint `{}` lies in the keep-out `{}`", standpoint.id, keep_out.id),
                        "no photographer may go here",
                        format!("move the standpoint outside the keep-out{why}"),
                        (top.field("venue").field("keep_outs").item(place).head(), "the keep-out".to_owned()),
                    );
                }
            }
            if record.field("at").is_written() {
                self.inside_a_solid(plan, top, standpoint.at, record.field("at"), "a photographer");
            }
        }
    }

    fn people_in_fixtures(&mut self, plan: &Plan, top: At<'p>) {
        for (index, person) in plan.people.iter().enumerate() {
            if let Some(Post::Floor(spot)) = person.post {
                self.inside_a_solid(
                    plan,
                    top,
                    spot,
                    top.field("people").item(index).field("at"),
                    &format!("`{}`", person.id),
                );
            }
        }
        for (index, moment) in plan.moments.iter().enumerate() {
            let cues = top.field("moments").item(index).field("cues");
            for (place, cue) in moment.cues.iter().enumerate() {
                let Some(Going { way: Way::To { places, .. }, .. }) = &cue.goes else { continue };
                let at = cues.item(place).field("at");
                for (number, post) in places.iter().enumerate() {
                    let Post::Floor(spot) = *post else { continue };
                    let who = cue.who.get(number).and_then(|who| plan.people.get(who.0));
                    let here = if places.len() > 1 { at.item(number) } else { at };
                    let who = who.map_or("someone", |who| who.id.as_str());
                    self.inside_a_solid(plan, top, spot, here, &format!("`{who}`"));
                }
            }
        }
    }

    fn inside_a_solid(&mut self, plan: &Plan, top: At<'p>, spot: Vec2, at: At<'p>, who: &str) {
        for (index, fixture) in plan.venue.fixtures.iter().enumerate() {
            let passable = matches!(
                fixture.kind,
                FixtureKind::Arch | FixtureKind::Canopy | FixtureKind::Chair | FixtureKind::Bench
            );
            let Some(half) = footprint(fixture).filter(|_| !passable) else { continue };
            if is_inside(spot, fixture.at, fixture.heading, half) {
                self.report_with(
                    ProblemKind::Overlap,
                    at.span(),
                    format!("{who} would stand inside `{}`", fixture.id),
                    "this spot",
                    format!("move the spot, or `{}`", fixture.id),
                    (top.field("venue").field("fixtures").item(index).head(), format!("`{}` is here", fixture.id)),
                );
            }
        }
    }
}

/// Half width and half depth that a fixture takes up on the floor; `None` if people fit under or over it.
fn footprint(fixture: &Fixture) -> Option<Vec2> {
    let [width, height, depth] = fixture.size_m;
    let hangs = fixture.above_floor_m > 1.2;
    let flat = fixture.above_floor_m + height < 0.15;
    match fixture.kind {
        FixtureKind::Tent | FixtureKind::Canopy | FixtureKind::CableCover => None,
        _ if hangs || flat => None,
        // Only the trunk; a tenth of the crown.
        FixtureKind::Tree => Some(Vec2::new(width, depth) * 0.05),
        _ => Some(Vec2::new(width, depth) / 2.0),
    }
}

fn is_inside(spot: Vec2, centre: Vec2, heading: f32, half: Vec2) -> bool {
    let ahead = forward(heading);
    let right = Vec2::new(-ahead.y, ahead.x);
    let from_centre = spot - centre;
    from_centre.dot(right).abs() < half.x && from_centre.dot(ahead).abs() < half.y
}

/// Even–odd rule: a ray to +x crosses the outline an odd number of times.
fn is_in_outline(spot: Vec2, outline: &[Vec2]) -> bool {
    let next = outline.iter().skip(1).chain(outline.first());
    outline.iter().zip(next).fold(false, |inside, (a, b)| {
        let crosses = (a.y > spot.y) != (b.y > spot.y) && spot.x < a.x + (spot.y - a.y) / (b.y - a.y) * (b.x - a.x);
        inside ^ crosses
    })
}

fn distance_to_segment(spot: Vec2, from: Vec2, to: Vec2) -> f32 {
    let along = to - from;
    let length_squared = along.length_squared();
    let share = if length_squared > 0.0 { ((spot - from).dot(along) / length_squared).clamp(0.0, 1.0) } else { 0.0 };
    spot.distance(from + along * share)
}
