use standpoint::staging::*;
#[test]
fn dbg() {
    let name = std::env::var("PLAN").unwrap();
    let plan = rehearse(standpoint::plan::read(&std::fs::read_to_string(name).unwrap()).unwrap()).0;
    let run = Run::new(&plan);
    for m in &run.moves {
        println!(
            "{:?} {}->{} leaves {:.1} walk {:.1}-{:.1} ready {:.1} need {:.1} len {:.1} stuck {}",
            m.photographer,
            plan.standpoints[m.from.0].id,
            plan.standpoints[m.to.0].id,
            m.leaves_s,
            m.walk_begins_s,
            m.walk_ends_s,
            m.ready_s,
            m.needed_s,
            m.path.length_m(),
            m.stuck
        );
    }
    let at: f64 = std::env::var("AT").unwrap().parse().unwrap();
    for k in 0..8 {
        let t = at + (k as f64 - 4.0) / 30.0;
        for (kind, f) in run.figures(t) {
            if format!("{kind:?}").contains(&std::env::var("WHO").unwrap()) {
                println!("{t:.3} {kind:?} hip {:.3?} eyes {:.3?} {:?}", f.hip, f.eyes, f.face_forward);
            }
        }
    }
}
