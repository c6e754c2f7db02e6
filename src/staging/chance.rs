//! Chance without a sequence: every choice is a hash of *what* is chosen, so that adding a guest, a seat or
//! another choice changes no other.

/// A source of choices for one thing (a seat, a tree, a person).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Self {
        Self(split_mix(seed))
    }

    /// The same source narrowed to a named thing (FNV-1a over its bytes).
    pub fn named(self, name: &str) -> Self {
        let hash =
            name.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| (h ^ u64::from(b)).wrapping_mul(0x100_0000_01b3));
        self.with(hash)
    }

    /// The same source narrowed to a numbered thing.
    pub fn with(self, number: u64) -> Self {
        Self(split_mix(self.0 ^ split_mix(number)))
    }

    /// 0 ≤ x < 1, uniform; `what` names the choice.
    pub fn unit(self, what: &str) -> f32 {
        (self.named(what).0 >> 40) as f32 / (1_u64 << 24) as f32
    }

    /// −1 ≤ x < 1, uniform.
    pub fn signed(self, what: &str) -> f32 {
        self.unit(what) * 2.0 - 1.0
    }

    pub fn between(self, what: &str, low: f32, high: f32) -> f32 {
        low + (high - low) * self.unit(what)
    }

    /// Standard normal by Box and Muller (1958), cut at ±3.
    pub fn normal(self, what: &str) -> f32 {
        let narrowed = self.named(what);
        let u = 1.0 - narrowed.unit("radius");
        let radius = (-2.0 * u.ln()).sqrt();
        (radius * (std::f32::consts::TAU * narrowed.unit("angle")).cos()).clamp(-3.0, 3.0)
    }

    /// One of a table; the table must not be empty.
    pub fn pick<T: Copy>(self, what: &str, table: &[T]) -> T {
        table[((self.unit(what) * table.len() as f32) as usize).min(table.len() - 1)]
    }
}

/// The output function of SplitMix64 (Steele, Lea and Flood, OOPSLA 2014, Fig. 17).
fn split_mix(x: u64) -> u64 {
    let z = x.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}
