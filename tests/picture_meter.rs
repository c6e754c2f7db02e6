//! A camera's meter doesn't see whoever holds the camera.

use standpoint::daylight::daylight_at;
use standpoint::picture::{InTheFinder, in_the_finder, meter};
use standpoint::plan::{PhotographerIx, load};
use standpoint::sight::Sources;
use standpoint::staging::{OwnerKind, Run, Solid, Tableau, rehearse};

#[test]
fn neither_photographer_nor_kit_stand_before_their_own_camera() {
    for name in ["orchard", "loft"] {
        let path = format!("{}/scenes/{name}.ron", env!("CARGO_MANIFEST_DIR"));
        let plan = rehearse(load(path).expect("a demo").plan).0;
        let run = Run::new(&plan);
        let looks = (0..120).flat_map(|step| (0..plan.crew.len()).map(move |crew| (f64::from(step) * 8.0, crew)));
        let up = looks.filter_map(|(at_s, crew)| match in_the_finder(&run, PhotographerIx(crew), at_s) {
            InTheFinder::Frame(frame) => Some((at_s, frame)),
            _ => None,
        });
        for (at_s, frame) in up {
            let tableau = run.tableau(at_s);
            let taker = OwnerKind::Photographer(plan.photographer_of(&frame));
            let is_left = |solid: &&Solid| tableau.owner(solid.owner).kind != taker;
            let without =
                Tableau { solids: tableau.solids.iter().filter(is_left).cloned().collect(), ..tableau.clone() };
            let day = daylight_at(&plan.place, plan.sky, &plan.instant(at_s));
            let sources = Sources::of(&plan.venue, &tableau);
            let lux = |it: &Tableau| meter(&plan, &frame, it, &day, &sources).expect("metered").lux;
            let [with, without] = [lux(&tableau), lux(&without)];
            // What is left is the shadow they throw on the ground before them.
            assert!((with / without).log2().abs() < 0.15, "{name}, {at_s} s: {with} and {without} lux");
        }
    }
}
