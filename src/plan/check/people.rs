//! People and marks, and what a photographer would take for granted about them.

use super::context::{At, Checker};
use super::ids::Kin;
use crate::plan::file::{Names, PersonFile, PlaceOfPerson, PlanFile, SeatFile, SpotFile, Word};
use crate::plan::limits;
use crate::plan::model::*;
use crate::plan::problem::ProblemKind;
use glam::Vec2;

/// What someone with a role usually wears: role word, clothes, main and second colour, veil.
/// Common practice, no source; a plan overrides it person by person.
pub const USUAL_CLOTHES: &[(&str, ClothesKind, &str, &str, bool)] = &[
    ("bride", ClothesKind::Gown, "ivory", "white", true),
    ("groom", ClothesKind::Suit, "navy", "white", false),
    ("officiant", ClothesKind::Robe, "charcoal", "ivory", false),
    ("celebrant", ClothesKind::Suit, "grey", "white", false),
    ("priest", ClothesKind::Robe, "ivory", "gold", false),
    ("rabbi", ClothesKind::Suit, "black", "white", false),
    ("imam", ClothesKind::Tunic, "ivory", "white", false),
    ("bridesmaid", ClothesKind::Dress, "sage", "sage", false),
    ("maid_of_honour", ClothesKind::Dress, "sage", "ivory", false),
    ("groomsman", ClothesKind::Suit, "dusty_blue", "white", false),
    ("best_man", ClothesKind::Suit, "dusty_blue", "ivory", false),
    ("usher", ClothesKind::Suit, "grey", "white", false),
    ("flower_girl", ClothesKind::Dress, "blush", "white", false),
    ("ring_bearer", ClothesKind::Shirt, "white", "navy", false),
    ("mother", ClothesKind::Dress, "plum", "silver", false),
    ("father", ClothesKind::Suit, "charcoal", "white", false),
    ("grandmother", ClothesKind::Skirt, "lavender", "cream", false),
    ("grandfather", ClothesKind::Suit, "brown", "cream", false),
    ("musician", ClothesKind::Suit, "black", "black", false),
];

/// Roles of children: common practice.
const CHILDREN: &[&str] = &["child", "flower_girl", "ring_bearer"];

const CLOTHES_OF_OTHERS: &[(ClothesKind, &str, &str)] = &[
    (ClothesKind::Suit, "grey", "white"),
    (ClothesKind::Dress, "terracotta", "tan"),
    (ClothesKind::Shirt, "dusty_blue", "charcoal"),
    (ClothesKind::Skirt, "olive", "cream"),
    (ClothesKind::Dress, "teal", "sand"),
    (ClothesKind::Suit, "brown", "cream"),
];

const SKINS: &[&str] = &["fair", "light", "medium", "deep", "dark"];
const HAIRS: &[(Hair, &str)] = &[
    (Hair::Short, "dark_brown"),
    (Hair::Bob, "brown"),
    (Hair::Long, "auburn"),
    (Hair::Curls, "black"),
    (Hair::Short, "brown"),
    (Hair::Bun, "blond"),
    (Hair::Short, "grey"),
];

/// Ordinary statures, metres: a round adult mean and that of a child of about seven. From memory, no source.
const ADULT_M: f64 = 1.70;
const CHILD_M: f64 = 1.20;

/// Written looks, as people and photographers have them.
pub struct LooksFile<'f> {
    pub skin: Option<&'f Word>,
    pub hair: Option<&'f Word>,
    pub hair_colour: Option<&'f Word>,
    pub glasses: Option<bool>,
    pub beard: Option<bool>,
}

impl<'p> Checker<'p> {
    pub fn marks(&mut self, file: &PlanFile, top: At<'p>) -> Vec<Mark> {
        let list = top.field("marks");
        let mut marks = Vec::new();
        for (index, mark) in file.marks.iter().enumerate() {
            let record = list.item(index);
            if mark.at.is_none() {
                self.missing(record, "at", "this mark has no spot", "write `at: (x, z)`");
            }
            let at = mark.at.map_or(Vec2::ZERO, |(x, z)| self.xz(record.field("at"), x, z));
            marks.push(Mark { id: self.ids.name(Kin::Marks, index), at });
        }
        marks
    }

    pub fn people(&mut self, file: &PlanFile, top: At<'p>, marks: &[Mark], venue: &Venue, seed: u64) -> Vec<Person> {
        let list = top.field("people");
        if file.people.is_empty() && !self.list_was_blanked(top, "people") {
            self.missing(
                top,
                "people",
                "the plan has no people",
                "add at least the couple: `people: [(id: \"mira\", roles: [\"bride\"]), …]`",
            );
        }
        let mut people = Vec::new();
        for (index, person) in file.people.iter().enumerate() {
            people.push(self.person(person, list.item(index), index, marks, venue, seed));
        }
        self.seats_taken_twice(&people, list);
        people
    }

    fn person(
        &mut self,
        person: &PersonFile,
        record: At<'p>,
        index: usize,
        marks: &[Mark],
        venue: &Venue,
        seed: u64,
    ) -> Person {
        let id = self.ids.name(Kin::People, index);
        let roles: Vec<String> = person.roles.iter().flat_map(Names::as_slice).cloned().collect();
        self.count(record.field("roles"), roles.len(), limits::ROLES);
        for (place, role) in roles.iter().enumerate().take(limits::ROLES.most) {
            let at = record.field("roles").item(place);
            if role.trim().is_empty() {
                self.report(
                    ProblemKind::Missing,
                    at.span(),
                    "this role is empty",
                    "a word was expected",
                    "write a role such as `\"witness\"`, or leave it out",
                );
            }
            self.text(at, Some(role));
        }
        let plain_roles: Vec<String> = roles.iter().map(|role| role.to_lowercase().replace([' ', '-'], "_")).collect();
        let has = |role: &str| plain_roles.iter().any(|own| own == role);
        let is_child = CHILDREN.iter().any(|role| has(role));
        let build = self.word(
            record.field("build"),
            person.build.as_ref(),
            if is_child { Build::Child } else { Build::Middling },
        );
        let usual_stature = if build == Build::Child { CHILD_M } else { ADULT_M };
        let stature = self.number(record.field("stature"), person.stature, usual_stature, &limits::STATURE);
        let chance = chance(seed, &id);
        let looks = self.looks(
            record,
            &LooksFile {
                skin: person.skin.as_ref(),
                hair: person.hair.as_ref(),
                hair_colour: person.hair_colour.as_ref(),
                glasses: person.glasses,
                beard: person.beard,
            },
            chance,
        );
        let name = self.text(record.field("name"), person.name.as_deref());
        let post = person.at.as_ref().and_then(|place| self.post(record.field("at"), place, marks, &venue.seats));
        if self.was_blanked(record, "at") || (person.at.is_some() && post.is_none()) {
            self.unsure_people.insert(index);
        }
        Person {
            name: if name.is_empty() { spoken(&id) } else { name },
            id,
            clothes: self.clothes(person, record, &plain_roles, chance),
            roles,
            stature_m: stature as f32,
            build,
            looks,
            post,
        }
    }

    pub fn looks(&mut self, record: At<'_>, looks: &LooksFile<'_>, chance: u64) -> Looks {
        let (hair, hair_colour) = HAIRS[(chance / 7) as usize % HAIRS.len()];
        let skin = SKINS[chance as usize % SKINS.len()];
        Looks {
            skin: self.colour(record.field("skin"), looks.skin).unwrap_or_else(|| named(skin)),
            hair: self.word(record.field("hair"), looks.hair, hair),
            hair_colour: self
                .colour(record.field("hair_colour"), looks.hair_colour)
                .unwrap_or_else(|| named(hair_colour)),
            glasses: looks.glasses.unwrap_or(false),
            beard: looks.beard.unwrap_or(false),
        }
    }

    fn clothes(&mut self, person: &PersonFile, record: At<'_>, roles: &[String], chance: u64) -> Clothes {
        let usual = USUAL_CLOTHES.iter().find(|(role, ..)| roles.iter().any(|own| own == role));
        let other = CLOTHES_OF_OTHERS[(chance / 53) as usize % CLOTHES_OF_OTHERS.len()];
        let (kind, main, second, veil) = usual
            .map_or((other.0, other.1, other.2, false), |(_, kind, main, second, veil)| (*kind, *main, *second, *veil));
        let own_kind: Option<ClothesKind> = self.optional_word(record.field("wears"), person.wears.as_ref());
        Clothes {
            // A veil goes with the usual gown; other clothes come without unless it is asked for.
            veil: person.veil.unwrap_or(veil && own_kind.is_none_or(|own| own == kind)),
            kind: own_kind.unwrap_or(kind),
            main: self.colour(record.field("colour"), person.colour.as_ref()).unwrap_or_else(|| named(main)),
            second: self.colour(record.field("trim"), person.trim.as_ref()).unwrap_or_else(|| named(second)),
        }
    }

    /// `(x, z)` in metres.
    pub fn xz(&mut self, at: At<'_>, x: f64, z: f64) -> Vec2 {
        let x = self.number(at.item(0), Some(x), 0.0, &limits::COORDINATE);
        let z = self.number(at.item(1), Some(z), 0.0, &limits::COORDINATE);
        Vec2::new(x as f32, z as f32)
    }

    /// A spot on the floor, or a mark's.
    pub fn spot(&mut self, at: At<'_>, spot: &SpotFile, marks: &[Mark]) -> Option<Vec2> {
        match spot {
            SpotFile::Xz(x, z) => Some(self.xz(at, *x, *z)),
            SpotFile::Mark(id) => {
                self.refer_one(at, id, Kin::Marks).and_then(|mark| marks.get(mark)).map(|mark| mark.at)
            }
        }
    }

    pub fn post(&mut self, at: At<'_>, place: &PlaceOfPerson, marks: &[Mark], seats: &[SeatBlock]) -> Option<Post> {
        let (block, row, seat) = match place {
            PlaceOfPerson::Xz(x, z) => return Some(Post::Floor(self.xz(at, *x, *z))),
            PlaceOfPerson::Mark(id) => {
                let mark = self.refer_one(at, id, Kin::Marks)?;
                return marks.get(mark).map(|mark| Post::Floor(mark.at));
            }
            PlaceOfPerson::Seat(SeatFile::Seat(block, row, seat)) => (block, *row, *seat),
        };
        let index = self.refer_one(at.item(0), block, Kin::Seats)?;
        if self.unsure_seats.contains(&index) {
            return None;
        }
        let block = seats.get(index)?;
        let (rows, per_row) = (block.rows, block.seats_per_row);
        if !(1..=rows).contains(&row) || !(1..=per_row).contains(&seat) {
            self.report(
                ProblemKind::OutOfRange,
                at.span(),
                format!("`{}` has no row {row}, seat {seat}", block.id),
                format!("rows 1 to {rows}, seats 1 to {per_row} were expected"),
                "row 1 is nearest the front, seat 1 at the left of those who sit",
            );
            return None;
        }
        Some(Post::Seat { seats: SeatsIx(index), row: row - 1, seat: seat - 1 })
    }

    fn seats_taken_twice(&mut self, people: &[Person], list: At<'p>) {
        for (index, person) in people.iter().enumerate() {
            let Some(seat @ Post::Seat { .. }) = person.post else { continue };
            if let Some(first) = people[..index].iter().position(|other| other.post == Some(seat)) {
                let first_span = list.item(first).field("at").span();
                self.report_with(
                    ProblemKind::Overlap,
                    list.item(index).field("at").span(),
                    format!("`{}` and `{}` are on one seat", people[first].id, person.id),
                    "taken already",
                    "seat one of them elsewhere",
                    (first_span, format!("`{}` sits here", people[first].id)),
                );
            }
        }
    }
}

/// "anna-maria" is called "Anna maria".
pub fn spoken(id: &str) -> String {
    let words = id.replace(['-', '_'], " ");
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

pub fn named(word: &str) -> Colour {
    crate::plan::words::colour(word).unwrap_or(Colour([0.5; 3]))
}

/// A number that looks random and is always the same for the same seed and id (FNV-1a, 64 bit, with a final mix).
pub fn chance(seed: u64, id: &str) -> u64 {
    let bytes = seed.to_le_bytes().into_iter().chain(id.bytes());
    let hash =
        bytes.fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3));
    (hash ^ (hash >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9) >> 16
}
