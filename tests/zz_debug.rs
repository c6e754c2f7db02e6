use standpoint::staging::*;
#[test]
fn dbg() {
    let name = std::env::var("PLAN").unwrap();
    let plan = rehearse(standpoint::plan::read(&std::fs::read_to_string(name).unwrap()).unwrap()).0;
    let run = Run::new(&plan);
    let at: f64 = std::env::var("AT").unwrap().parse().unwrap();
    let who = plan.people.iter().position(|p| p.id == std::env::var("WHO").unwrap()).unwrap();
    println!("stays {:?}", run.tracks[who].stays.changes());
    println!("poses {:?}", run.tracks[who].poses.changes());
    for w in &run.tracks[who].walks {
        println!(
            "walk {:.2}-{:.2} len {:.3} side {} {:?}",
            w.begins_s,
            w.ends_s,
            w.path.length_m(),
            w.sidelong,
            w.path.points().iter().map(|p| format!("{:.2},{:.2}", p.x, p.y)).collect::<Vec<_>>()
        );
    }
    for k in 0..12 {
        let t = at + (k as f64 - 6.0) / 30.0;
        let tab = run.tableau(t);
        for (kind, f) in run.figures(t) {
            if kind == OwnerKind::Person(standpoint::plan::PersonIx(who)) {
                let spots = run.spots(t);
                println!(
                    "{t:.3} hip {:.3?} eyes {:.3?} face {:.3?} heading {:.3?} low {:?}",
                    f.hip,
                    f.eyes,
                    f.face_forward,
                    run.heading(who, t, &spots),
                    tab.solids
                        .iter()
                        .filter(|s| s.part == Part::Foot && tab.owner(s.owner).kind == kind)
                        .map(|s| format!("{:.2},{:.2},{:.2}", s.at.x, s.at.y, s.at.z))
                        .collect::<Vec<_>>()
                );
            }
        }
    }
}
