//! Shot sizes, there and back.

use standpoint::optics::*;
use standpoint::plan::ShotSize;

/// Lower lines that check against Drillis & Contini (1966) and trade usage: below the soles, mid-thigh (half-way
/// between knee 0.285 and hip 0.530), waist 0.60, chest 0.72, shoulder line 0.818; never at a joint.
#[test]
fn lower_edges_are_where_no_joint_is() {
    let line = |size| framing(size).lower_line;
    assert_eq!(line(ShotSize::Full), 0.0);
    assert!((line(ShotSize::ThreeQuarter) - (0.285 + 0.530) / 2.0).abs() < 0.005);
    assert_eq!(line(ShotSize::Half), 0.60);
    assert_eq!(line(ShotSize::HeadAndShoulders), 0.72);
    assert!((line(ShotSize::Close) - 0.818).abs() < 0.005);
    for shot in FRAMINGS {
        let edge = shot.lower_line - shot.below * shot.statures_high();
        assert!(!cuts_a_joint(edge), "{:?} cuts at {edge}", shot.size);
    }
    // Ankle 0.039 and knee 0.285 (Drillis & Contini), wrist 0.818 − 0.186 − 0.146, neck between chin 0.870 and
    // shoulder.
    for joint in [0.039, 0.285, 0.486, 0.85] {
        assert!(cuts_a_joint(joint), "{joint}");
    }
}

/// Common practice, no source: eyes near the upper third in tight frames, a person a third to a quarter of a wide
/// frame.
#[test]
fn eyes_come_near_the_upper_third() {
    const EYES: f64 = 0.936;
    for (size, low, high) in
        [(ShotSize::Half, 0.20, 0.36), (ShotSize::HeadAndShoulders, 0.24, 0.37), (ShotSize::Close, 0.30, 0.42)]
    {
        let shot = framing(size);
        let eyes_from_top = shot.above + (1.0 + HAIR - EYES) / shot.statures_high();
        assert!((low..high).contains(&eyes_from_top), "{size:?}: eyes at {eyes_from_top}");
    }
    let person_in_wide = 1.0 / framing(ShotSize::Wide).statures_high();
    assert!((0.25..=0.34).contains(&person_in_wide), "{person_in_wide}");
}

#[test]
fn focal_length_for_a_shot_and_back() {
    for shot in FRAMINGS {
        for stature_m in [1.05, 1.62, 1.95] {
            for distance_m in [0.7, 3.0, 12.0, 60.0] {
                for sensor_height_m in [0.024, 0.036, 0.013] {
                    let focal_m = focal_for_shot(shot.size, stature_m, distance_m, sensor_height_m);
                    assert_eq!(shot_size_at(focal_m, stature_m, distance_m, sensor_height_m), shot.size);
                    let back_m = distance_for_shot(shot.size, stature_m, focal_m, sensor_height_m);
                    assert!((back_m / distance_m - 1.0).abs() < 1e-12);
                }
            }
        }
    }
    // A 1.75 m figure exactly fills 24 mm of sensor at 3.646 m with 50 mm; a full length leaves 11 % of the height
    // empty and has 2 % of hair, so it takes 0.89/1.02 of that focal length.
    let focal_m = focal_for_shot(ShotSize::Full, 1.75, 3.646, 0.024);
    assert!((focal_m - 0.89 / 1.02 * 0.050).abs() < 1e-5, "{focal_m}");
}
