//! Names of nodes: none twice, since other programs find things by them.

use crate::staging::Part;
use std::collections::HashMap;

/// Names given so far, with how often each was wanted.
#[derive(Debug, Default)]
pub struct Names {
    wanted: HashMap<String, u32>,
}

impl Names {
    /// The name itself, or with `#2`, `#3`… if it is taken.
    pub fn unique(&mut self, name: String) -> String {
        let Some(count) = self.wanted.get(&name) else {
            self.wanted.insert(name.clone(), 1);
            return name;
        };
        let mut count = *count;
        loop {
            count += 1;
            let numbered = format!("{name}#{count}");
            if !self.wanted.contains_key(&numbered) {
                self.wanted.insert(numbered.clone(), 1);
                self.wanted.insert(name, count);
                return numbered;
            }
        }
    }
}

/// As node names have it.
pub fn part_word(part: Part) -> &'static str {
    match part {
        Part::Face => "face",
        Part::Head => "head",
        Part::Hair => "hair",
        Part::Neck => "neck",
        Part::Torso => "torso",
        Part::Pelvis => "pelvis",
        Part::UpperArm => "upper_arm",
        Part::Forearm => "forearm",
        Part::Hand => "hand",
        Part::Thigh => "thigh",
        Part::Shin => "shin",
        Part::Foot => "foot",
        Part::Skirt => "skirt",
        Part::Veil => "veil",
        Part::Hat => "hat",
        Part::Held => "held",
        Part::Camera => "camera",
        Part::Seat => "seat",
        Part::Thing => "thing",
        Part::Ground => "ground",
        Part::Wall => "wall",
        Part::Glass => "glass",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_is_given_twice() {
        let mut names = Names::default();
        let mut given = |name: &str| names.unique(name.to_owned());
        assert_eq!(given("mira/hand"), "mira/hand");
        assert_eq!(given("mira/hand"), "mira/hand#2");
        assert_eq!(given("mira/hand"), "mira/hand#3");
        assert_eq!(given("mira/hand#4"), "mira/hand#4");
        assert_eq!(given("mira/hand"), "mira/hand#5");
        assert_eq!(given("mira/hand#2"), "mira/hand#2#2");
    }
}
