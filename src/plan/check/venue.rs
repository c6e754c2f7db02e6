//! The place: ground, rooms, walls, platforms, fixtures, seats and the rest.

use super::context::{At, Checker};
use super::ids::Kin;
use crate::plan::file::*;
use crate::plan::limits;
use crate::plan::model::*;
use crate::plan::problem::ProblemKind;
use glam::Vec2;

impl<'p> Checker<'p> {
    pub fn venue(&mut self, file: Option<&VenueFile>, at: At<'p>, marks: &[Mark], title: &str) -> Venue {
        let empty = VenueFile::default();
        let file = file.unwrap_or(&empty);
        let name = self.text(at.field("name"), file.name.as_deref());
        let venue = Venue {
            name: if name.is_empty() { title.to_owned() } else { name },
            ground: self.word(at.field("ground"), file.ground.as_ref(), Surface::Grass),
            surround: self.surround(file.surround.as_ref(), at.field("surround"), marks),
            patches: self.each(at, "patches", &file.patches, |check, record, _, patch| {
                let surface = check.needed_word(record, "surface", patch.surface.as_ref(), Surface::Grass);
                Patch { surface, outline: check.outline(record, "outline", &patch.outline, marks) }
            }),
            rooms: self
                .each(at, "rooms", &file.rooms, |check, record, index, room| check.room(room, record, index, marks)),
            walls: self
                .each(at, "walls", &file.walls, |check, record, index, wall| check.wall(wall, record, index, marks)),
            platforms: self.each(at, "platforms", &file.platforms, |check, record, index, platform| {
                check.platform(platform, record, index, marks)
            }),
            fixtures: self.each(at, "fixtures", &file.fixtures, |check, record, index, fixture| {
                check.fixture(fixture, record, index, marks)
            }),
            meshes: self
                .each(at, "meshes", &file.meshes, |check, record, index, mesh| check.mesh(mesh, record, index, marks)),
            seats: self
                .each(at, "seats", &file.seats, |check, record, index, seats| check.seats(seats, record, index, marks)),
            aisles: self.each(at, "aisles", &file.aisles, |check, record, _, aisle| Aisle {
                from: check.needed_spot(record, "from", aisle.from.as_ref(), marks),
                to: check.needed_spot(record, "to", aisle.to.as_ref(), marks),
                width_m: check.number(record.field("width"), aisle.width, 1.5, &limits::AISLE_WIDTH) as f32,
                runner: check.colour(record.field("runner"), aisle.runner.as_ref()),
            }),
            keep_outs: self.each(at, "keep_outs", &file.keep_outs, |check, record, index, keep_out| KeepOut {
                id: check.own_id(record, keep_out.id.as_deref(), "keep-out", index),
                outline: check.outline(record, "outline", &keep_out.outline, marks),
                why: check.text(record.field("why"), keep_out.why.as_deref()),
            }),
            escape_routes: self.each(at, "escape_routes", &file.escape_routes, |check, record, index, route| {
                EscapeRoute {
                    id: check.own_id(record, route.id.as_deref(), "escape", index),
                    path: check.points(record, "path", &route.path, marks, 2, "a path has at least two points"),
                    width_m: check.number(record.field("width"), route.width, 1.2, &limits::AISLE_WIDTH) as f32,
                }
            }),
            lamps: self
                .each(at, "lamps", &file.lamps, |check, record, index, lamp| check.lamp(lamp, record, index, marks)),
            sketch: file.sketch.as_ref().and_then(|sketch| self.sketch(sketch, at.field("sketch"), marks)),
        };
        let seats: u64 = venue.seats.iter().map(|block| u64::from(block.rows) * u64::from(block.seats_per_row)).sum();
        if seats <= 200 * 200 * 200 {
            self.count(at.field("seats"), seats as usize, limits::SEATS);
        }
        for list in ["rooms", "walls", "platforms", "meshes", "keep_outs", "escape_routes", "lamps"] {
            self.same_ids_in(
                at.field(list),
                match list {
                    "rooms" => venue.rooms.iter().map(|x| x.id.as_str()).collect(),
                    "walls" => venue.walls.iter().map(|x| x.id.as_str()).collect(),
                    "platforms" => venue.platforms.iter().map(|x| x.id.as_str()).collect(),
                    "meshes" => venue.meshes.iter().map(|x| x.id.as_str()).collect(),
                    "keep_outs" => venue.keep_outs.iter().map(|x| x.id.as_str()).collect(),
                    "escape_routes" => venue.escape_routes.iter().map(|x| x.id.as_str()).collect(),
                    _ => venue.lamps.iter().map(|x| x.id.as_str()).collect::<Vec<_>>(),
                },
            );
        }
        venue
    }

    fn each<F, T>(
        &mut self,
        at: At<'p>,
        list: &str,
        file: &[F],
        mut one: impl FnMut(&mut Self, At<'p>, usize, &F) -> T,
    ) -> Vec<T> {
        let list = at.field(list);
        file.iter().enumerate().map(|(index, entry)| one(self, list.item(index), index, entry)).collect()
    }

    fn sketch(&mut self, file: &SketchFile, record: At<'p>, marks: &[Mark]) -> Option<Sketch> {
        const EXAMPLE: &str = "write `sketch: (picture: \"floor-plan.png\", width: 18)`";
        let picture = self.text(record.field("picture"), file.picture.as_deref());
        if picture.trim().is_empty() {
            self.missing(record, "picture", "this sketch doesn't say which picture it is", EXAMPLE);
        }
        if file.width.is_none() && !self.was_blanked(record, "width") {
            self.missing(record, "width", "this sketch doesn't say how wide the picture is on the floor", EXAMPLE);
        }
        let centre = file.centre.as_ref().and_then(|spot| self.spot(record.field("centre"), spot, marks));
        Some(Sketch {
            picture,
            centre: centre.unwrap_or(Vec2::ZERO),
            width_m: self.number(record.field("width"), file.width, 10.0, &limits::SKETCH_WIDTH) as f32,
            heading: self.heading(record, file.heading, 0.0),
        })
    }

    fn surround(&mut self, file: Option<&SurroundFile>, at: At<'p>, marks: &[Mark]) -> Surround {
        let empty = SurroundFile::default();
        let file = file.unwrap_or(&empty);
        let (half_x, half_z) = file.half.map_or((None, None), |(x, z)| (Some(x), Some(z)));
        Surround {
            kind: self.word(at.field("kind"), file.kind.as_ref(), SurroundKind::Open),
            half_m: Vec2::new(
                self.number(at.field("half").item(0), half_x, 30.0, &limits::HALF_SURROUND) as f32,
                self.number(at.field("half").item(1), half_z, 30.0, &limits::HALF_SURROUND) as f32,
            ),
            centre: file
                .centre
                .as_ref()
                .and_then(|spot| self.spot(at.field("centre"), spot, marks))
                .unwrap_or(Vec2::ZERO),
            height_m: self.number(at.field("height"), file.height, 2.5, &limits::HEIGHT) as f32,
        }
    }

    fn room(&mut self, room: &RoomFile, record: At<'p>, index: usize, marks: &[Mark]) -> Room {
        let size = self.needed_size(record, room.size);
        let height = self.number(record.field("height"), room.height, 3.5, &limits::ROOM_HEIGHT) as f32;
        let ceiling = match &room.ceiling {
            Some(Word::Word(word)) if word == "open" => None,
            word => Some(self.word(record.field("ceiling"), word.as_ref(), Surface::Plaster)),
        };
        let list = record.field("openings");
        let mut openings = Vec::new();
        for (place, opening) in room.openings.iter().enumerate() {
            let at = list.item(place);
            let side = self.needed_word(at, "side", opening.side.as_ref(), RoomSide::Front);
            let length = if matches!(side, RoomSide::Front | RoomSide::Back) { size.x } else { size.y };
            openings.push(RoomOpening { side, opening: self.opening(opening, at, length, height) });
        }
        Room {
            id: self.own_id(record, room.id.as_deref(), "room", index),
            centre: room
                .centre
                .as_ref()
                .and_then(|spot| self.spot(record.field("centre"), spot, marks))
                .unwrap_or(Vec2::ZERO),
            heading: self.heading(record, room.heading, 0.0),
            size_m: size,
            height_m: height,
            floor: self.word(record.field("floor"), room.floor.as_ref(), Surface::OakBoards),
            walls: self.word(record.field("walls"), room.walls.as_ref(), Surface::Plaster),
            ceiling,
            openings,
        }
    }

    fn wall(&mut self, wall: &WallFile, record: At<'p>, index: usize, marks: &[Mark]) -> Wall {
        let from = self.needed_spot(record, "from", wall.from.as_ref(), marks);
        let to = self.needed_spot(record, "to", wall.to.as_ref(), marks);
        let height = self.number(record.field("height"), wall.height, 2.5, &limits::HEIGHT) as f32;
        let length = from.distance(to);
        if length < 0.05 && wall.from.is_some() && wall.to.is_some() {
            self.report(
                ProblemKind::Contradiction,
                record.head(),
                "this wall begins where it ends",
                "it has no length",
                "write two different spots for `from` and `to`",
            );
        }
        let list = record.field("openings");
        let mut openings = Vec::new();
        for (place, opening) in wall.openings.iter().enumerate() {
            if opening.side.is_some() {
                self.report(
                    ProblemKind::Contradiction,
                    list.item(place).field("side").span(),
                    "a free wall has no sides",
                    "`side` is for rooms",
                    "take `side` out; `along` says where the opening is",
                );
            }
            openings.push(self.opening(opening, list.item(place), length, height));
        }
        Wall {
            id: self.own_id(record, wall.id.as_deref(), "wall", index),
            from,
            to,
            height_m: height,
            thickness_m: self.number(record.field("thickness"), wall.thickness, 0.2, &limits::WALL_THICKNESS) as f32,
            surface: self.word(record.field("surface"), wall.surface.as_ref(), Surface::Plaster),
            openings,
        }
    }

    /// A hole must lie within its wall.
    fn opening(&mut self, opening: &OpeningFile, record: At<'_>, wall_length: f32, wall_height: f32) -> Opening {
        let kind = self.word(record.field("kind"), opening.kind.as_ref(), OpeningKind::Open);
        let window = kind == OpeningKind::Window;
        let (width, sill, height) = if window { (1.2, 0.9, 1.4) } else { (0.9, 0.0, 2.1) };
        let along = self.needed_number(
            record,
            "along",
            opening.along,
            &limits::SIZE,
            "write how far along the wall its middle is",
        );
        let opening_m = Opening {
            kind,
            along_m: along as f32,
            width_m: self.number(record.field("width"), opening.width, width, &limits::SIZE) as f32,
            sill_m: self.number(record.field("sill"), opening.sill, sill, &limits::ABOVE_FLOOR) as f32,
            height_m: self.number(record.field("height"), opening.height, height, &limits::HEIGHT) as f32,
        };
        let half = opening_m.width_m / 2.0;
        let slack = 0.01;
        if wall_length > 0.05
            && opening.along.is_some()
            && (opening_m.along_m - half < -slack || opening_m.along_m + half > wall_length + slack)
        {
            let length = self.length(f64::from(wall_length));
            self.report(
                ProblemKind::OutOfRange,
                record.field("along").span(),
                "this opening reaches past the end of its wall",
                format!("the wall is {length} long"),
                "`along` is the distance from the wall's left end, seen from inside, to the opening's middle",
            );
        }
        if opening_m.sill_m + opening_m.height_m > wall_height + slack {
            let height = self.length(f64::from(wall_height));
            let at = if opening.height.is_some() { record.field("height") } else { record };
            let span = if opening.height.is_some() { at.span() } else { record.head() };
            self.report(
                ProblemKind::OutOfRange,
                span,
                "this opening is higher than its wall",
                format!("the wall is {height} high"),
                "lower `sill` or `height`, or raise the wall",
            );
        }
        opening_m
    }

    fn platform(&mut self, platform: &PlatformFile, record: At<'p>, index: usize, marks: &[Mark]) -> Platform {
        let steps = self.number(record.field("steps"), platform.steps.map(f64::from), 0.0, &limits::STEPS);
        Platform {
            id: self.own_id(record, platform.id.as_deref(), "platform", index),
            centre: self.needed_spot(record, "centre", platform.centre.as_ref(), marks),
            heading: self.heading(record, platform.heading, 0.0),
            size_m: self.needed_size(record, platform.size),
            height_m: self.number(record.field("height"), platform.height, 0.3, &limits::PLATFORM_HEIGHT) as f32,
            surface: self.word(record.field("surface"), platform.surface.as_ref(), Surface::OakBoards),
            steps: steps as u32,
            tread_m: self.number(record.field("tread"), platform.tread, 0.3, &limits::TREAD) as f32,
        }
    }

    fn fixture(&mut self, fixture: &FixtureFile, record: At<'p>, index: usize, marks: &[Mark]) -> Fixture {
        let known = fixture
            .kind
            .as_ref()
            .map(|Word::Word(word)| (word, FIXTURE_KINDS.iter().find(|(_, name, ..)| name == word)));
        match known {
            None => self.missing(record, "kind", "this fixture has no kind", "write a kind, such as `kind: arch`"),
            Some((word, None)) => {
                let names: Vec<&str> = FIXTURE_KINDS.iter().map(|(_, name, ..)| *name).collect();
                self.unknown_word(record.field("kind"), word, "a kind of fixture", &names);
            }
            Some((_, Some(_))) => {}
        }
        let usual =
            known.and_then(|(_, usual)| usual).copied().unwrap_or((FixtureKind::Block, "block", [1.0; 3], false));
        let size = record.field("size");
        let own = fixture.size.map(|(width, height, depth)| [width, height, depth]);
        let side = |check: &mut Self, axis: usize| {
            check.number(size.item(axis), own.map(|own| own[axis]), f64::from(usual.2[axis]), &limits::SIZE) as f32
        };
        Fixture {
            id: self.ids.name(Kin::Fixtures, index),
            kind: usual.0,
            at: self.needed_spot(record, "at", fixture.at.as_ref(), marks),
            above_floor_m: self.number(record.field("above_floor"), fixture.above_floor, 0.0, &limits::ABOVE_FLOOR)
                as f32,
            heading: self.heading(record, fixture.heading, 180.0),
            size_m: [side(self, 0), side(self, 1), side(self, 2)],
            colour: self.colour(record.field("colour"), fixture.colour.as_ref()),
            clutter: fixture.clutter.unwrap_or(usual.3),
        }
    }

    fn seats(&mut self, seats: &SeatsFile, record: At<'p>, index: usize, marks: &[Mark]) -> SeatBlock {
        let before = self.problems.len();
        let rows = seats.rows.map(f64::from);
        let rows = self.needed_number(record, "rows", rows, &limits::ROWS, "write how many rows there are");
        let per_row = seats.seats_per_row.map(f64::from);
        let help = "write how many seats a row has";
        let per_row = self.needed_number(record, "seats_per_row", per_row, &limits::SEATS_PER_ROW, help);
        if self.problems.len() > before || self.was_blanked(record, "rows") || self.was_blanked(record, "seats_per_row")
        {
            self.unsure_seats.insert(index);
        }
        SeatBlock {
            id: self.ids.name(Kin::Seats, index),
            front: self.needed_spot(record, "front", seats.front.as_ref(), marks),
            heading: self.heading(record, seats.heading, 0.0),
            rows: rows as u32,
            seats_per_row: per_row as u32,
            row_pitch_m: self.number(record.field("row_pitch"), seats.row_pitch, 0.9, &limits::ROW_PITCH) as f32,
            seat_pitch_m: self.number(record.field("seat_pitch"), seats.seat_pitch, 0.5, &limits::SEAT_PITCH) as f32,
            kind: self.word(record.field("kind"), seats.kind.as_ref(), SeatKind::Chair),
            curve_radius_m: self
                .optional_number(record.field("curve_radius"), seats.curve_radius, &limits::CURVE_RADIUS)
                .map(|radius| radius as f32),
            filled: self.number(record.field("filled"), seats.filled, 1.0, &limits::SHARE) as f32,
            children: self.number(record.field("children"), seats.children, 0.0, &limits::SHARE) as f32,
            seat_height_m: self.number(record.field("seat_height"), seats.seat_height, 0.45, &limits::SEAT_HEIGHT)
                as f32,
        }
    }

    fn lamp(&mut self, lamp: &LampFile, record: At<'p>, index: usize, marks: &[Mark]) -> Lamp {
        let kind = self.word(record.field("kind"), lamp.kind.as_ref(), LampKind::Bulb);
        // A household bulb is about 800 lm at 2700 K; a candle about 13 lm (4π of one candela) near 1900 K. From memory.
        let (lumens, kelvin) = if kind == LampKind::Candle { (13.0, 1900.0) } else { (800.0, 2700.0) };
        match kind {
            LampKind::Strings if lamp.to.is_none() => {
                self.missing(record, "to", "a string of lamps needs its other end", "write `to: (x, z)`");
            }
            LampKind::Spot if lamp.aimed_at.is_none() => {
                self.missing(
                    record,
                    "aimed_at",
                    "a spot needs something to be pointed at",
                    "write `aimed_at: (x, z)`, a spot on the floor",
                );
            }
            _ => {}
        }
        Lamp {
            id: self.own_id(record, lamp.id.as_deref(), "lamp", index),
            kind,
            at: self.needed_spot(record, "at", lamp.at.as_ref(), marks),
            height_m: self.number(record.field("height"), lamp.height, 2.2, &limits::HEIGHT) as f32,
            lumens: self.number(record.field("lumens"), lamp.lumens, lumens, &limits::LUMENS) as f32,
            kelvin: self.number(record.field("kelvin"), lamp.kelvin, kelvin, &limits::KELVIN) as f32,
            to: lamp.to.as_ref().and_then(|spot| self.spot(record.field("to"), spot, marks)),
            aimed_at: lamp.aimed_at.as_ref().and_then(|spot| self.spot(record.field("aimed_at"), spot, marks)),
        }
    }
}
