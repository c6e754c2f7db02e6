//! One instant of a sequence: drawn and written, or empty for a reason.

use super::times::{Times, minutes};
use crate::cli::Failure;
use crate::cli::draw::{Drawer, Subject};
use crate::cli::frames::{Output, exif_of};
use crate::picture::{
    Cell, FrameRecord, InTheFinder, Overview, RecordedPicture, Seen, brief_exif_block, frame_record, in_the_finder,
    overview_record, picture_in_strip, picture_size, prepare_in,
};
use crate::plan::{PhotographerIx, Plan};
use crate::staging::Run;
use image::RgbImage;

/// One instant of a sequence, done.
pub struct Drawn {
    pub cell: Cell,
    pub record: Option<FrameRecord>,
    /// Small, for the strip.
    pub picture: Option<RgbImage>,
    pub lens: Option<usize>,
}

/// One picture of a sequence on its way.
pub struct Picture<'a> {
    pub plan: &'a Plan,
    pub run: &'a Run<'a>,
    pub times: &'a Times,
    pub number: usize,
    pub id: &'a str,
    pub width_px: u32,
    pub output: Output<'a>,
}

impl Picture<'_> {
    fn at_s(&self) -> f64 {
        self.times.start_s + self.times.after_s[self.number]
    }

    fn cell(&self, seen: Seen, focal_m: Option<f64>) -> Cell {
        let decimals = self.times.decimals();
        let (moment, after_s) = self.times.in_moment(self.plan, self.number);
        let fraction = if decimals == 0 { String::new() } else { format!("%.{decimals}f") };
        let clock = self.plan.instant(self.at_s()).strftime(&format!("%H:%M:%S{fraction}")).to_string();
        let mut after = minutes(after_s, decimals);
        if self.times.moment.is_none() {
            after = format!("{after}  {}", self.plan.moments[moment.0].name);
        }
        let note = focal_m.map_or(String::new(), |focal_m| format!("{:.0} mm", focal_m * 1000.0));
        Cell { after, clock, note, planned: String::new(), seen }
    }

    /// Through the finder; with the caution that belongs to it.
    pub fn through_finder(
        &self,
        photographer: PhotographerIx,
        drawer: &mut Drawer,
    ) -> Result<(Drawn, Option<String>), Failure> {
        let nothing =
            |why: String| Drawn { cell: self.cell(Seen::Nothing(why), None), record: None, picture: None, lens: None };
        let mut frame = match in_the_finder(self.run, photographer, self.at_s()) {
            InTheFinder::Frame(frame) => *frame,
            InTheFinder::Walks(to) => {
                return Ok((nothing(format!("walks to {}", self.plan.standpoints[to.0].id)), None));
            }
            InTheFinder::Away => return Ok((nothing("not at a standpoint".to_owned()), None)),
        };
        frame.id = self.id.to_owned();
        (frame.moment, frame.after_s) = self.times.in_moment(self.plan, self.number);
        let ready = prepare_in(self.run, &frame).map_err(|error| Failure::Wrong(error.to_string()))?;
        let camera = &ready.composed.camera;
        let size = picture_size(camera.sensor_m, self.width_px);
        let picture = drawer.draw(&Subject::of(&ready), size, |_| ())?;
        let file = self.output.save(self.id, &picture, exif_of(self.plan, &ready))?;
        let recorded = recorded(file, &picture, drawer, ready.metered.white.kelvin, ready.remarks());
        let record = frame_record(self.plan, &frame, camera, recorded);
        let cell = self.cell(Seen::Picture(size), Some(camera.focal_m));
        Ok((self.drawn(cell, record, &picture, Some(frame.with.lens)), ready.sun.map(|sun| sun.to_string())))
    }

    pub fn looking_down(&self, overview: &Overview, drawer: &mut Drawer) -> Result<Drawn, Failure> {
        let tableau = overview.tableau(self.run, self.at_s());
        let size = picture_size(overview.camera.sensor_m, self.width_px);
        let mut picture = drawer.draw(&Subject::from_above(overview, &tableau), size, |_| ())?;
        overview.name_crew(self.run, &tableau, &mut picture);
        let (moment, _) = self.times.in_moment(self.plan, self.number);
        let moment = &self.plan.moments[moment.0];
        let description = format!("{}: {} from above, {}", self.id, moment.name, self.plan.title);
        let exif = brief_exif_block(&description, &self.plan.instant(self.at_s()));
        let file = self.output.save(self.id, &picture, exif)?;
        let recorded = recorded(file, &picture, drawer, overview.metered.white.kelvin, vec![]);
        let record = overview_record(self.plan, self.id, &moment.id, self.at_s(), &overview.camera, recorded);
        Ok(self.drawn(self.cell(Seen::Picture(size), None), record, &picture, None))
    }

    fn drawn(&self, cell: Cell, record: FrameRecord, picture: &RgbImage, lens: Option<usize>) -> Drawn {
        let picture = picture_in_strip(picture, self.times.after_s.len());
        Drawn { cell, record: Some(record), picture: Some(picture), lens }
    }
}

fn recorded(
    file: String,
    picture: &RgbImage,
    drawer: &Drawer,
    white_balance_kelvin: f64,
    remarks: Vec<String>,
) -> RecordedPicture {
    let (width, height) = picture.dimensions();
    let (drawn_by, adapter) = (drawer.drawn_by(), drawer.adapter().to_owned());
    RecordedPicture { file, width, height, white_balance_kelvin, drawn_by, adapter, remarks }
}
