//! What a process has used so far, as Linux tells it; elsewhere only wall time.

use std::fs::read_to_string;
use std::ops::Div;
use std::time::Instant;

/// Linux counts processor time in hundredths of a second on every platform we know (`getconf CLK_TCK`).
const TICKS_PER_S: f64 = 100.0;

pub struct Usage {
    began: Instant,
    processor_s: f64,
}

#[derive(Debug, Clone, Copy)]
pub struct Spent {
    pub wall_s: f64,
    /// User and system time of all threads.
    pub processor_s: f64,
}

impl Usage {
    pub fn now() -> Self {
        Self { began: Instant::now(), processor_s: processor_s() }
    }

    pub fn since(&self) -> Spent {
        Spent { wall_s: self.began.elapsed().as_secs_f64(), processor_s: processor_s() - self.processor_s }
    }
}

impl Div<f64> for Spent {
    type Output = Self;

    fn div(self, count: f64) -> Self {
        Self { wall_s: self.wall_s / count, processor_s: self.processor_s / count }
    }
}

fn processor_s() -> f64 {
    let stat = read_to_string("/proc/self/stat").unwrap_or_default();
    // After the name in brackets: fields 3 and on; user and system time are fields 14 and 15.
    let fields = stat.rsplit(')').next().unwrap_or_default().split_whitespace();
    fields.skip(11).take(2).filter_map(|field| field.parse::<f64>().ok()).sum::<f64>() / TICKS_PER_S
}

/// Highest resident memory.
pub fn peak_memory_mb() -> f64 {
    let status = read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).unwrap_or_default();
    line.split_whitespace().next().and_then(|kb| kb.parse::<f64>().ok()).unwrap_or(f64::NAN) / 1024.0
}
