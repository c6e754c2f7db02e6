//! From the written plan to the checked one: every reference found, every number in range, everything
//! converted to metres, radians and seconds, and everything that can't be so told.

mod ceremony;
mod context;
mod cues;
mod elsewhere;
mod frames;
mod ids;
mod kit;
mod meshes;
mod numbers;
mod overlaps;
mod people;
mod presence;
mod readings;
mod shapes;
mod start;
mod variants;
mod venue;

use super::Plan;
use super::beside::Beside;
use super::file::PlanFile;
use super::limits;
use super::model::{LengthUnit, Place, Sky};
use super::parse::Parsed;
use super::problem::{Problem, ProblemKind, Remark};
use context::{At, Checker};

/// The checked plan with remarks, or problems on top of those of the form.
pub fn check(
    file: &PlanFile,
    parsed: &Parsed,
    text: &str,
    beside: &dyn Beside,
) -> Result<(Plan, Vec<Remark>), Vec<Problem>> {
    let (mut plan, remarks) = check_at(file, At::root(&parsed.root, &parsed.seen), parsed, text, beside)?;
    elsewhere::check_all(&mut plan, file, parsed, text, beside)?;
    Ok((plan, remarks))
}

/// As [`check`], of a file whose map may be another than the text's own, and without its variants' venues.
fn check_at(
    file: &PlanFile,
    top: At<'_>,
    parsed: &Parsed,
    text: &str,
    beside: &dyn Beside,
) -> Result<(Plan, Vec<Remark>), Vec<Problem>> {
    let mut check = Checker::new(parsed, text, beside);
    if file.format.is_none() {
        check.missing(top, "format", "the plan doesn't say its format", "write `format: 1` as its first field");
    }
    check.unit = check.word(top.field("units"), file.units.as_ref(), LengthUnit::Metres);
    let title = check.text(top.field("title"), file.title.as_deref());
    let sky = check.word(top.field("sky"), file.sky.as_ref(), Sky::Clear);
    let place = check.place(file, top);
    let start = check.start(file.start.as_deref(), top);
    check.counts(file, top);
    if check.problems.iter().any(|problem| problem.kind == ProblemKind::TooMuch) {
        // More than can be checked in reasonable time.
        return Err(check.problems);
    }
    check.collect_ids(file, top);
    let marks = check.marks(file, top);
    let venue = check.venue(file.venue.as_ref(), top.field("venue"), &marks, &title);
    check.fixture_spots = venue.fixtures.iter().map(|fixture| fixture.at).collect();
    let seed = file.seed.unwrap_or(1);
    let people = check.people(file, top, &marks, &venue, seed);
    let (kit, crew) = check.kit_and_crew(file, top, seed);
    let mut moments = check.moments(file, top, &marks, &venue);
    check.walks(&moments, top.field("moments"));
    check.cues_that_wait_in_circles(&mut moments, top.field("moments"));
    let mut standpoints = check.standpoints(file, top, &marks, &crew, &moments);
    let frames = check.frames(file, top, &kit, &crew, &moments, &standpoints, &marks);
    check.fill_standpoints(&mut standpoints, &frames, &moments);
    let title = match (title.is_empty(), venue.name.is_empty()) {
        (false, _) => title,
        (true, false) => venue.name.clone(),
        (true, true) => "A wedding".to_owned(),
    };
    let mut plan = Plan {
        title,
        units: check.unit,
        place,
        start,
        sky,
        seed,
        venue,
        people,
        marks,
        moments,
        kit,
        crew,
        standpoints,
        frames,
        variants: vec![],
        readings: vec![],
    };
    // What stands in what can only be said of a plan whose parts are known.
    if check.problems.iter().all(|problem| problem.kind != ProblemKind::TooMuch) {
        check.overlaps(&plan, top);
        check.presence(&plan, top);
    }
    plan.readings = check.readings(file, top, &plan);
    plan.variants = check.variants(file, top, &mut plan.moments);
    match check.problems.is_empty() && parsed.problems.is_empty() {
        true => Ok((plan, check.remarks)),
        false => Err(check.problems),
    }
}

impl<'p> Checker<'p> {
    fn counts(&mut self, file: &PlanFile, top: At<'p>) {
        let lists = [
            ("people", file.people.len(), limits::PEOPLE),
            ("marks", file.marks.len(), limits::MARKS),
            ("moments", file.moments.len(), limits::MOMENTS),
            ("crew", file.crew.len(), limits::CREW),
            ("standpoints", file.standpoints.len(), limits::STANDPOINTS),
            ("frames", file.frames.len(), limits::FRAMES),
            ("variants", file.variants.len(), limits::VARIANTS),
            ("readings", file.readings.len(), limits::READINGS),
        ];
        for (list, number, limit) in lists {
            self.count(top.field(list), number, limit);
        }
        let cues = file.moments.iter().map(|moment| moment.cues.len()).sum();
        self.count(top.field("moments"), cues, limits::CUES);
        for (index, photographer) in file.crew.iter().enumerate().take(limits::CREW.most) {
            self.count(top.field("crew").item(index).field("carries"), photographer.carries.len(), limits::CARRIED);
        }
        for (index, standpoint) in file.standpoints.iter().enumerate().take(limits::STANDPOINTS.most) {
            self.count(
                top.field("standpoints").item(index).field("during"),
                standpoint.during.len(),
                limits::STRETCHES,
            );
        }
        if let Some(kit) = &file.kit {
            let at = top.field("kit");
            self.count(at.field("bodies"), kit.bodies.len(), limits::BODIES);
            self.count(at.field("lenses"), kit.lenses.len(), limits::LENSES);
        }
        let Some(venue) = &file.venue else { return };
        let at = top.field("venue");
        let lists = [
            ("patches", venue.patches.len(), limits::PATCHES),
            ("rooms", venue.rooms.len(), limits::ROOMS),
            ("walls", venue.walls.len(), limits::WALLS),
            ("platforms", venue.platforms.len(), limits::PLATFORMS),
            ("fixtures", venue.fixtures.len(), limits::FIXTURES),
            ("meshes", venue.meshes.len(), limits::MESHES),
            ("seats", venue.seats.len(), limits::SEAT_BLOCKS),
            ("aisles", venue.aisles.len(), limits::AISLES),
            ("keep_outs", venue.keep_outs.len(), limits::KEEP_OUTS),
            ("escape_routes", venue.escape_routes.len(), limits::ESCAPE_ROUTES),
            ("lamps", venue.lamps.len(), limits::LAMPS),
        ];
        for (list, number, limit) in lists {
            self.count(at.field(list), number, limit);
        }
        let walls = venue.walls.iter().map(|wall| wall.openings.len()).enumerate();
        let rooms = venue.rooms.iter().map(|room| room.openings.len()).enumerate();
        for (list, index, number) in walls
            .map(|(index, number)| ("walls", index, number))
            .chain(rooms.map(|(index, number)| ("rooms", index, number)))
        {
            self.count(at.field(list).item(index).field("openings"), number, limits::OPENINGS);
        }
    }

    fn place(&mut self, file: &PlanFile, top: At<'_>) -> Place {
        let at = top.field("place");
        let nowhere = Place { latitude_deg: 0.0, longitude_deg: 0.0, bearing_of_minus_z: 0.0, altitude_m: 0.0 };
        let Some(place) = &file.place else {
            self.missing(
                top,
                "place",
                "the plan doesn't say where on earth it is",
                "write `place: (latitude: 38.57, longitude: -7.91, bearing: 40)`: the sun needs it",
            );
            return nowhere;
        };
        let missing = "write degrees, such as `38.57`; any map shows them";
        let latitude = self.needed_number(at, "latitude", place.latitude, &limits::LATITUDE, missing);
        let longitude = self.needed_number(at, "longitude", place.longitude, &limits::LONGITUDE, missing);
        let bearing = self.number(at.field("bearing"), place.bearing, 0.0, &limits::ANGLE);
        let altitude = self.number(at.field("altitude"), place.altitude, 0.0, &limits::ALTITUDE);
        Place {
            latitude_deg: latitude,
            longitude_deg: longitude,
            bearing_of_minus_z: bearing.to_radians(),
            altitude_m: altitude,
        }
    }
}
