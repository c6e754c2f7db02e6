//! A value that changes from time to time, and how far the last change has got.

/// Values with the instants they begin at, in order of time. There is always one from the beginning on.
#[derive(Debug, Clone, PartialEq)]
pub struct Timeline<T> {
    first: T,
    changes: Vec<(f64, T)>,
}

/// A value, and what is left of the one before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blend<T> {
    pub now: T,
    /// The earlier value and its share, 1 falling to 0.
    pub before: Option<(T, f32)>,
}

/// Two instants nearer than this are one.
pub const SAME_S: f64 = 1e-6;

impl<T: Copy + PartialEq> Timeline<T> {
    pub fn new(first: T) -> Self {
        Self { first, changes: vec![] }
    }

    /// From `at_s` on it is `value`, until the next change that is known. What begins at the same instant is replaced; what
    /// is so already does not begin anew.
    ///
    /// What begins with the ceremony was so before it.
    pub fn change(&mut self, at_s: f64, value: T) {
        if at_s <= SAME_S {
            self.first = value;
            return;
        }
        let place = self.changes.partition_point(|(when, _)| *when <= at_s + SAME_S);
        if let Some(last) = place.checked_sub(1).and_then(|i| self.changes.get_mut(i))
            && (last.0 - at_s).abs() <= SAME_S
        {
            last.1 = value;
        } else if self.at(at_s) != value {
            self.changes.insert(place, (at_s, value));
        }
    }

    /// Drops every change after an instant.
    pub fn forget_after(&mut self, at_s: f64) {
        self.changes.retain(|(when, _)| *when <= at_s + SAME_S);
    }

    /// When it last changes.
    pub fn last_s(&self) -> f64 {
        self.changes.last().map_or(f64::NEG_INFINITY, |change| change.0)
    }

    pub fn at(&self, at_s: f64) -> T {
        self.place(at_s).map_or(self.first, |i| self.changes[i].1)
    }

    fn place(&self, at_s: f64) -> Option<usize> {
        self.changes.partition_point(|(when, _)| *when <= at_s + SAME_S).checked_sub(1)
    }

    /// The value at an instant, faded over from the one before it. A change that is followed by another one sooner than
    /// it fades is quicker.
    pub fn blend(&self, at_s: f64, fade_s: f64) -> Blend<T> {
        let Some(i) = self.place(at_s) else { return Blend { now: self.first, before: None } };
        let (began, now) = self.changes[i];
        let before = match i.checked_sub(1) {
            Some(earlier) => self.changes[earlier].1,
            None => self.first,
        };
        let fade = self.changes.get(i + 1).map_or(fade_s, |next| fade_s.min(next.0 - began));
        let share = 1.0 - smooth(((at_s - began) / fade.max(1e-3)) as f32);
        let fades = share > 0.0 && before != now;
        Blend { now, before: fades.then_some((before, share)) }
    }

    /// The values that count at an instant, each with its share: every change fades in over `fade_s` from whatever mix there
    /// was, so that nothing jumps however quickly one follows another.
    pub fn mix(&self, at_s: f64, fade_s: f64) -> Vec<(T, f32)> {
        self.mix_since(f64::NEG_INFINITY, at_s, fade_s)
    }

    /// … but what was so by `since_s` needs no fading.
    pub fn mix_since(&self, since_s: f64, at_s: f64, fade_s: f64) -> Vec<(T, f32)> {
        let begun = self.place(at_s).map_or(0, |i| i + 1);
        let settled = self.changes[..begun].partition_point(|(when, _)| *when <= (at_s - fade_s).max(since_s + SAME_S));
        let first = settled.checked_sub(1).map_or(self.first, |i| self.changes[i].1);
        let mut mix = vec![(first, 1.0)];
        for (began_s, value) in &self.changes[settled..begun] {
            let share = smooth(((at_s - began_s) / fade_s) as f32);
            mix.iter_mut().for_each(|(_, before)| *before *= 1.0 - share);
            mix.push((*value, share));
        }
        mix
    }

    /// Instants at which it changes, in order.
    pub fn times(&self) -> impl Iterator<Item = f64> + '_ {
        self.changes.iter().map(|(when, _)| *when)
    }

    /// From when to when the value is one of a kind, in order.
    pub fn stretches(&self, is_one: impl Fn(T) -> bool) -> Vec<[f64; 2]> {
        let begins = std::iter::once((f64::NEG_INFINITY, self.first)).chain(self.changes.iter().copied());
        let ends = self.times().chain([f64::INFINITY]);
        let mut all: Vec<[f64; 2]> = Vec::new();
        for ((from_s, _), to_s) in begins.zip(ends).filter(|((_, value), _)| is_one(*value)) {
            match all.last_mut() {
                Some(last) if last[1] == from_s => last[1] = to_s,
                _ => all.push([from_s, to_s]),
            }
        }
        all
    }

    pub fn changes(&self) -> &[(f64, T)] {
        &self.changes
    }
}

/// From 0 to 1 with no corner at either end: 3x² − 2x³.
pub fn smooth(x: f32) -> f32 {
    let x = x.clamp(0.0, 1.0);
    x * x * (3.0 - 2.0 * x)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_fades_in_and_a_quick_one_fades_quickly() {
        let mut timeline = Timeline::new(1);
        timeline.change(10.0, 2);
        timeline.change(10.5, 3);
        assert_eq!([timeline.at(9.9), timeline.at(10.0), timeline.at(10.4), timeline.at(99.0)], [1, 2, 2, 3]);
        assert_eq!(timeline.blend(10.25, 2.0), Blend { now: 2, before: Some((1, 0.5)) });
        assert_eq!(timeline.blend(11.5, 2.0), Blend { now: 3, before: Some((2, 0.5)) });
        assert_eq!(timeline.blend(12.5, 2.0), Blend { now: 3, before: None });
    }

    #[test]
    fn quick_changes_fade_one_into_the_other() {
        let mut timeline = Timeline::new(1);
        timeline.change(10.0, 2);
        timeline.change(11.0, 3);
        assert_eq!(timeline.mix(9.0, 2.0), [(1, 1.0)]);
        assert_eq!(timeline.mix(11.0, 2.0), [(1, 0.5), (2, 0.5), (3, 0.0)]);
        assert_eq!(timeline.mix(12.0, 2.0), [(2, 0.5), (3, 0.5)]);
        assert_eq!(timeline.mix(13.0, 2.0), [(3, 1.0)]);
    }

    #[test]
    fn what_holds_at_the_beginning_has_not_changed() {
        let mut timeline = Timeline::new(1);
        timeline.change(0.0, 2);
        assert_eq!(timeline.blend(0.0, 2.0), Blend { now: 2, before: None });
    }

    #[test]
    fn the_later_word_at_one_instant_counts() {
        let mut timeline = Timeline::new(1);
        timeline.change(5.0, 2);
        timeline.change(5.0, 3);
        timeline.change(4.0, 9);
        assert_eq!(timeline.changes(), [(4.0, 9), (5.0, 3)]);
        timeline.forget_after(4.5);
        assert_eq!(timeline.at(6.0), 9);
    }
}
