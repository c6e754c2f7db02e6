//! How many steps a pace takes, and how a walk begins and ends.

/// Steps a minute of somebody who walks at a pace (m/s); 0 at rest.
///
/// Grieve & Gear, *Ergonomics* 9(5):379–399, 1966: cycles a minute of one leg are 64.8 · v^0.57 with v in statures a
/// second, a log-log regression over adults (coefficients from memory). A cycle is two steps.
pub fn cadence_spm(stature_m: f32, pace_mps: f32) -> f32 {
    if pace_mps <= 0.0 || stature_m <= 0.0 {
        return 0.0;
    }
    2.0 * 64.8 * (pace_mps / stature_m).powf(0.57)
}

/// Length of a step at a pace, metres; 0 at rest.
pub fn step_length_m(stature_m: f32, pace_mps: f32) -> f32 {
    let cadence = cadence_spm(stature_m, pace_mps);
    if cadence <= 0.0 { 0.0 } else { pace_mps * 60.0 / cadence }
}

/// How far somebody has come `t_s` seconds after setting off on a way of `length_m` that takes `over_s`: they gather
/// pace and slow down again within half a second (judged by eye), or a quarter of a short way.
pub fn travelled_m(length_m: f32, over_s: f64, t_s: f64) -> f32 {
    if over_s <= 0.0 || t_s >= over_s {
        return if t_s < 0.0 { 0.0 } else { length_m };
    }
    let ramp_s = (over_s * 0.25).min(0.5);
    // Speed grows evenly over the ramp, so half of it is lost at each end.
    let cruise = 1.0 / (over_s - ramp_s);
    let begun = |t: f64| {
        let t = t.max(0.0);
        if t < ramp_s { cruise * t * t / (2.0 * ramp_s) } else { cruise * (t - ramp_s * 0.5) }
    };
    let share = if t_s < over_s * 0.5 { begun(t_s) } else { 1.0 - begun(over_s - t_s) };
    length_m * share as f32
}

/// … and when they have come so far: the other way round.
pub fn passes_s(length_m: f32, over_s: f64, travelled_m: f32) -> f64 {
    let share = f64::from(travelled_m / length_m.max(1e-6)).clamp(0.0, 1.0);
    let ramp_s = (over_s * 0.25).min(0.5);
    let cruise = 1.0 / (over_s - ramp_s).max(1e-6);
    let begun = |share: f64| {
        let on_ramp = cruise * ramp_s * 0.5;
        if share < on_ramp { (2.0 * ramp_s * share / cruise).sqrt() } else { share / cruise + ramp_s * 0.5 }
    };
    if share < 0.5 { begun(share) } else { over_s - begun(1.0 - share) }
}
