//! Bodies, lenses and who carries them; what most teams carry where the plan doesn't say.

use super::context::{At, Checker};
use super::ids::Kin;
use super::people::{LooksFile, chance, spoken};
use crate::plan::file::*;
use crate::plan::limits;
use crate::plan::model::*;
use crate::plan::problem::ProblemKind;
use crate::plan::words::SENSOR_FORMATS;

const MM: f64 = 1e-3;

/// Full frame, ISO 100 to 12 800, 1/8000: common practice, no source.
fn usual_body() -> Body {
    Body {
        id: "full-frame".to_owned(),
        sensor_m: [0.036, 0.024],
        iso: [100.0, 12_800.0],
        fastest_shutter_s: 1.0 / 8000.0,
    }
}

/// The two zooms of the trade, f/2.8; nearest focus as such lenses commonly have it: common practice, no source.
fn usual_lenses() -> Vec<Lens> {
    let lens = |id: &str, short: f64, long: f64, nearest_focus_m: f64| Lens {
        id: id.to_owned(),
        focal_m: [short * MM, long * MM],
        widest_f: [2.8, 2.8],
        narrowest_f: 22.0,
        nearest_focus_m,
    };
    vec![lens("24-70", 24.0, 70.0, 0.38), lens("70-200", 70.0, 200.0, 0.95)]
}

impl<'p> Checker<'p> {
    pub fn kit_and_crew(&mut self, file: &PlanFile, top: At<'p>, seed: u64) -> (Kit, Vec<Photographer>) {
        let kit = self.kit(file.kit.as_ref(), top.field("kit"));
        if file.crew.is_empty() && !self.list_was_blanked(top, "crew") {
            let free = |check: &Self, id: &str| {
                [Kin::People, Kin::Fixtures, Kin::Marks, Kin::Seats]
                    .iter()
                    .all(|kin| check.ids.find(*kin, id).is_none())
            };
            let names: Vec<&str> = ["lead", "second"].into_iter().filter(|id| free(self, id)).collect();
            self.ids.assume(Kin::Crew, &names);
            let carries = usual_load(&kit);
            let crew = names.iter().map(|id| {
                let looks = LooksFile { skin: None, hair: None, hair_colour: None, glasses: None, beard: None };
                Photographer {
                    id: (*id).to_owned(),
                    name: spoken(id),
                    role: (*id).to_owned(),
                    stature_m: 1.70,
                    looks: self.looks(top, &looks, chance(seed, id)),
                    carries: carries.clone(),
                }
            });
            return (kit.clone(), crew.collect());
        }
        let list = top.field("crew");
        let mut crew = Vec::new();
        for (index, photographer) in file.crew.iter().enumerate() {
            crew.push(self.photographer(photographer, list.item(index), index, &kit, seed));
        }
        (kit, crew)
    }

    fn kit(&mut self, file: Option<&KitFile>, at: At<'p>) -> Kit {
        let empty = KitFile::default();
        let file = file.unwrap_or(&empty);
        let mut kit = Kit::default();
        for (index, body) in file.bodies.iter().enumerate() {
            kit.bodies.push(self.body(body, at.field("bodies").item(index), index));
        }
        for (index, lens) in file.lenses.iter().enumerate() {
            kit.lenses.push(self.lens(lens, at.field("lenses").item(index), index));
        }
        if kit.bodies.is_empty() {
            kit.bodies.push(usual_body());
            self.ids.assume(Kin::Bodies, &["full-frame"]);
        }
        if kit.lenses.is_empty() {
            kit.lenses = usual_lenses();
            self.ids.assume(Kin::Lenses, &["24-70", "70-200"]);
        }
        kit
    }

    fn body(&mut self, body: &BodyFile, record: At<'p>, index: usize) -> Body {
        let usual = usual_body();
        let sensor_at = record.field("sensor");
        let sensor_mm = match &body.sensor {
            None => [36.0, 24.0],
            Some(SensorFile::Mm(width, height)) => {
                let width = self.number(sensor_at.item(0), Some(*width), 36.0, &limits::SENSOR);
                let height = self.number(sensor_at.item(1), Some(*height), 24.0, &limits::SENSOR);
                if height > width {
                    self.report(
                        ProblemKind::Contradiction,
                        sensor_at.span(),
                        "this sensor is higher than wide",
                        "(width, height) was expected",
                        "write the long side first; upright pictures are `orientation: portrait` in a frame",
                    );
                }
                [width, height]
            }
            Some(SensorFile::Word(word)) => match SENSOR_FORMATS.iter().find(|(name, _)| name == word) {
                Some((_, size)) => *size,
                None => {
                    let names: Vec<&str> = SENSOR_FORMATS.iter().map(|(name, _)| *name).collect();
                    self.unknown_word(sensor_at, word, "a sensor format", &names);
                    [36.0, 24.0]
                }
            },
        };
        let iso_at = record.field("iso");
        let (low, high) = body.iso.unwrap_or((usual.iso[0], usual.iso[1]));
        let low = self.number(iso_at.item(0), Some(low), usual.iso[0], &limits::ISO);
        let high = self.number(iso_at.item(1), Some(high), usual.iso[1], &limits::ISO);
        if high < low {
            self.report(
                ProblemKind::Contradiction,
                iso_at.span(),
                "the highest ISO is below the lowest",
                "(lowest, highest) was expected",
                "write the lower number first",
            );
        }
        Body {
            id: self.ids.name(Kin::Bodies, index),
            sensor_m: sensor_mm.map(|side| side * MM),
            iso: [low, high],
            fastest_shutter_s: self
                .shutter(record.field("fastest_shutter"), body.fastest_shutter.as_ref())
                .unwrap_or(usual.fastest_shutter_s),
        }
    }

    fn lens(&mut self, lens: &LensFile, record: At<'p>, index: usize) -> Lens {
        if lens.focal_mm.is_none() {
            self.missing(
                record,
                "focal_mm",
                "this lens has no focal length",
                "write `focal_mm: 85`, or `focal_mm: (70, 200)` for a zoom",
            );
        }
        if lens.f.is_none() {
            self.missing(
                record,
                "f",
                "this lens has no aperture",
                "write its widest: `f: 2.8`, or `f: (3.5, 5.6)` at the short and the long end",
            );
        }
        let [short, long] = self.one_or_two(record.field("focal_mm"), lens.focal_mm.as_ref(), 50.0, &limits::FOCAL);
        if long < short {
            self.report(
                ProblemKind::Contradiction,
                record.field("focal_mm").span(),
                "the long end is shorter than the short end",
                "(shortest, longest) was expected",
                "write the shorter focal length first",
            );
        }
        let widest = self.one_or_two(record.field("f"), lens.f.as_ref(), 2.8, &limits::F_NUMBER);
        let narrowest = self.number(record.field("narrowest_f"), lens.narrowest_f, 22.0, &limits::F_NUMBER);
        if widest.iter().any(|widest| *widest > narrowest) {
            let at = if lens.narrowest_f.is_some() { record.field("narrowest_f") } else { record.field("f") };
            self.report(
                ProblemKind::Contradiction,
                at.span(),
                "the narrowest aperture is wider than the widest",
                "a larger f-number is a narrower aperture",
                "`f` is the widest (2.8), `narrowest_f` the narrowest (22)",
            );
        }
        // A rule of thumb where nothing is written: ten focal lengths at the long end, and never under 25 cm.
        let usual_focus = (long * MM * 10.0).clamp(0.25, 3.0);
        Lens {
            id: self.ids.name(Kin::Lenses, index),
            focal_m: [short * MM, long * MM],
            widest_f: widest,
            narrowest_f: narrowest,
            nearest_focus_m: self.number(
                record.field("nearest_focus"),
                lens.nearest_focus,
                usual_focus,
                &limits::NEAREST_FOCUS,
            ),
        }
    }

    fn one_or_two(
        &mut self,
        at: At<'_>,
        written: Option<&OneOrTwo>,
        default: f64,
        bounds: &limits::Bounds,
    ) -> [f64; 2] {
        match written {
            None => [default; 2],
            Some(OneOrTwo::One(one)) => [self.number(at, Some(*one), default, bounds); 2],
            Some(OneOrTwo::Two(first, second)) => [
                self.number(at.item(0), Some(*first), default, bounds),
                self.number(at.item(1), Some(*second), default, bounds),
            ],
        }
    }

    fn photographer(
        &mut self,
        photographer: &PhotographerFile,
        record: At<'p>,
        index: usize,
        kit: &Kit,
        seed: u64,
    ) -> Photographer {
        let id = self.ids.name(Kin::Crew, index);
        let looks = LooksFile {
            skin: photographer.skin.as_ref(),
            hair: photographer.hair.as_ref(),
            hair_colour: photographer.hair_colour.as_ref(),
            glasses: photographer.glasses,
            beard: photographer.beard,
        };
        let name = self.text(record.field("name"), photographer.name.as_deref());
        let role = self.text(record.field("role"), photographer.role.as_deref());
        let list = record.field("carries");
        let mut carries = Vec::new();
        for (place, (body, lens)) in photographer.carries.iter().enumerate() {
            let pair = list.item(place);
            let body = self.refer_one(pair.item(0), body, Kin::Bodies);
            let lens = self.refer_one(pair.item(1), lens, Kin::Lenses);
            if let (Some(body), Some(lens)) = (body, lens) {
                carries.push(BodyWithLens { body, lens });
            }
        }
        if photographer.carries.is_empty() {
            if list.is_written() && !self.list_was_blanked(record, "carries") {
                self.report(
                    ProblemKind::Missing,
                    list.span(),
                    format!("`{id}` carries no camera"),
                    "a body with a lens was expected",
                    "write `carries: [(\"body\", \"lens\")]`, or leave it out for the usual ones",
                );
            }
            carries = usual_load(kit);
        }
        Photographer {
            stature_m: self.number(record.field("stature"), photographer.stature, 1.70, &limits::STATURE) as f32,
            looks: self.looks(record, &looks, chance(seed, &id)),
            name: if name.is_empty() { spoken(&id) } else { name },
            role: if role.is_empty() { id.clone() } else { role },
            id,
            carries,
        }
    }
}

/// The first body with each of the first two lenses.
fn usual_load(kit: &Kit) -> Vec<BodyWithLens> {
    (0..kit.lenses.len().min(2)).map(|lens| BodyWithLens { body: 0, lens }).collect()
}
