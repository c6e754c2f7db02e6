//! Numbers for sampling: spread evenly over the samples of a pixel, different from pixel to pixel, and always the same.

/// A source of pairs for one sample of one pixel.
#[derive(Debug, Clone)]
pub struct Chance {
    pixel: u32,
    sample: u32,
    dimension: u32,
}

impl Chance {
    pub fn new(pixel: u32, sample: u32) -> Self {
        Self { pixel, sample, dimension: 0 }
    }

    /// The next pair, each 0..1: the R2 sequence (M. Roberts, 2018), shifted for each pixel and each pair asked for
    /// (R. Cranley & T. Patterson, SIAM J. Numer. Anal. 13 (1976), 904).
    pub fn pair(&mut self) -> [f32; 2] {
        const STEPS: [f64; 2] = [0.754_877_666_246_693, 0.569_840_290_998_053];
        self.dimension += 1;
        // Samples in another order for each pair, or light and lens would go hand in hand.
        let order = self.sample ^ (hash(self.dimension) & 15);
        let shift = hash(self.pixel.wrapping_mul(0x9E37_79B9) ^ hash(self.dimension.wrapping_add(77)));
        let shifts = [shift, hash(shift)].map(|bits| f64::from(bits >> 8) / f64::from(1u32 << 24));
        [0, 1].map(|i| {
            let value = (shifts[i] + STEPS[i] * f64::from(order)).fract() as f32;
            value.min(1.0 - f32::EPSILON)
        })
    }
}

/// The finaliser of MurmurHash3.
fn hash(mut h: u32) -> u32 {
    h ^= h >> 16;
    h = h.wrapping_mul(0x85EB_CA6B);
    h ^= h >> 13;
    h = h.wrapping_mul(0xC2B2_AE35);
    h ^ (h >> 16)
}

/// A pair to a point of the unit disc, evenly (P. Shirley & K. Chiu, J. Graphics Tools 2 (1997), 45, in the form by
/// D. Cline).
pub fn on_disc([a, b]: [f32; 2]) -> [f32; 2] {
    let (x, y) = (2.0 * a - 1.0, 2.0 * b - 1.0);
    if x == 0.0 && y == 0.0 {
        return [0.0, 0.0];
    }
    let quarter = std::f32::consts::FRAC_PI_4;
    let (radius, angle) =
        if x.abs() > y.abs() { (x, quarter * (y / x)) } else { (y, 2.0 * quarter - quarter * (x / y)) };
    [radius * angle.cos(), radius * angle.sin()]
}
