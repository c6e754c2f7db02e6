//! Every command in one table: what it is called, what it does, and its keys.

use egui::{Key, KeyboardShortcut, Modifiers};

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Command {
    New,
    Open,
    Save,
    SaveAs,
    Undo,
    Redo,
    Delete,
    Duplicate,
    Mirror,
    AddStandpoint,
    AddFrame,
    AddMark,
    AddPerson,
    AddFixture,
    AddSeats,
    AddKeepOut,
    AddMoment,
    AddRoom,
    AddWall,
    AddPlatform,
    AddAisle,
    AddLamp,
    DrawWay,
    Picture,
    MoveSketch,
    ScaleSketch,
    Tape,
    PutDown,
    Fit,
    ZoomIn,
    ZoomOut,
    Covered,
    Routes,
    Views,
    Sun,
    Names,
    Grid,
    Sketch,
    Play,
    Slower,
    Faster,
    Back,
    Forward,
    NextFrame,
    PreviousFrame,
    NextFinding,
    Enlarge,
    Guides,
    Checked,
    KeepFrame,
    Findings,
    Contents,
    Text,
    Theme,
    Larger,
    Smaller,
    Commands,
    Keys,
    Tour,
    Quit,
}

pub struct Entry {
    pub command: Command,
    pub label: &'static str,
    pub tip: &'static str,
    pub keys: Option<KeyboardShortcut>,
}

const fn entry(command: Command, label: &'static str, tip: &'static str, keys: Option<KeyboardShortcut>) -> Entry {
    Entry { command, label, tip, keys }
}

const fn ctrl(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::COMMAND, key))
}

const fn ctrl_shift(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key))
}

const fn plain(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::NONE, key))
}

pub const COMMANDS: &[Entry] = &[
    entry(Command::New, "New plan …", "Begin a plan from the small starter or one of the demos", ctrl(Key::N)),
    entry(Command::Open, "Open …", "Open a plan file", ctrl(Key::O)),
    entry(Command::Save, "Save", "Write the plan to its file, whole or not at all", ctrl(Key::S)),
    entry(Command::SaveAs, "Save as …", "Write the plan to another file", ctrl_shift(Key::S)),
    entry(Command::Undo, "Undo", "Take the last change back", ctrl(Key::Z)),
    entry(Command::Redo, "Redo", "Do again what was taken back", ctrl_shift(Key::Z)),
    entry(Command::Delete, "Delete", "Take what is chosen out of the plan", plain(Key::Delete)),
    entry(Command::Duplicate, "Duplicate", "A second one of what is chosen, a step beside it", ctrl(Key::D)),
    entry(
        Command::Mirror,
        "Mirror to the other side",
        "Move what is chosen across the middle of the aisle",
        plain(Key::M),
    ),
    entry(
        Command::AddStandpoint,
        "New standpoint",
        "Click on the floor where a photographer shall stand",
        plain(Key::S),
    ),
    entry(
        Command::AddFrame,
        "Save this as a frame",
        "Keep what the chosen photographer sees now as a planned frame",
        plain(Key::F),
    ),
    entry(Command::AddMark, "New mark", "Click on the floor to name a spot", None),
    entry(Command::AddPerson, "New person", "Click on the floor where somebody shall stand", None),
    entry(Command::AddFixture, "New fixture", "Click on the floor where a thing stands", None),
    entry(Command::AddSeats, "New block of seats", "Click on the floor where the middle of its front row is", None),
    entry(Command::AddKeepOut, "New keep-out", "Click on the floor where nobody may go", None),
    entry(Command::AddMoment, "New moment", "Add a stretch to the end of the ceremony", None),
    entry(Command::AddRoom, "New room", "Click on the floor where the middle of a room is", None),
    entry(Command::AddWall, "New wall", "Click on the floor where the middle of a wall is", None),
    entry(Command::AddPlatform, "New platform", "Click on the floor where a stage or step lies", None),
    entry(Command::AddAisle, "New aisle", "Click on the floor where an aisle ends at the couple", None),
    entry(Command::AddLamp, "New lamp", "Click on the floor where a lamp hangs", None),
    entry(
        Command::DrawWay,
        "Draw a way",
        "Click, spot by spot, where the chosen person walks from this instant on; Enter ends it",
        plain(Key::W),
    ),
    entry(
        Command::Picture,
        "Sketch of the floor …",
        "Lay a picture of the floor plan under everything, to draw over",
        None,
    ),
    entry(Command::MoveSketch, "Move the sketch", "Drag the sketch, with Shift turn it", None),
    entry(
        Command::ScaleSketch,
        "Scale of the sketch",
        "Click two spots of the sketch and say how far apart they are",
        None,
    ),
    entry(Command::Tape, "Tape", "Measure between two spots of the floor", plain(Key::T)),
    entry(
        Command::PutDown,
        "Put down",
        "Leave the tool, close what lies over the window, choose nothing",
        plain(Key::Escape),
    ),
    entry(Command::Fit, "Fit the floor", "Show the whole place", plain(Key::Home)),
    entry(Command::ZoomIn, "Nearer", "Show less of the floor, larger", ctrl(Key::Plus)),
    entry(Command::ZoomOut, "Farther", "Show more of the floor", ctrl(Key::Minus)),
    entry(Command::Covered, "What cameras cover", "Show or hide what each camera sees of the floor", plain(Key::Num1)),
    entry(Command::Routes, "Ways of the two", "Show or hide where photographers walk", plain(Key::Num2)),
    entry(
        Command::Views,
        "Guests who lose their view",
        "Show or hide whose view of the couple is taken",
        plain(Key::Num3),
    ),
    entry(Command::Sun, "Sun", "Show or hide where the sun stands", plain(Key::Num4)),
    entry(Command::Names, "Names", "Show or hide names on the floor", plain(Key::Num5)),
    entry(Command::Grid, "Grid of metres", "Show or hide a grid, one metre wide", plain(Key::Num6)),
    entry(Command::Sketch, "Sketch", "Show or hide the picture that is drawn over", plain(Key::Num7)),
    entry(Command::Play, "Play", "Run the ceremony, or stop it", plain(Key::Space)),
    entry(Command::Slower, "Slower", "1, 4 or 20 times as fast as life", plain(Key::Comma)),
    entry(Command::Faster, "Faster", "1, 4 or 20 times as fast as life", plain(Key::Period)),
    entry(Command::Back, "A second back", "Step back in time", plain(Key::ArrowLeft)),
    entry(Command::Forward, "A second on", "Step on in time", plain(Key::ArrowRight)),
    entry(Command::NextFrame, "Next frame", "Go to the next planned picture", plain(Key::PageDown)),
    entry(Command::PreviousFrame, "Frame before", "Go to the planned picture before", plain(Key::PageUp)),
    entry(Command::NextFinding, "Next finding", "Go to the next thing to fix", plain(Key::F8)),
    entry(
        Command::Enlarge,
        "Large viewfinder",
        "Fill the middle with a viewfinder, or give it back to the floor",
        plain(Key::V),
    ),
    entry(Command::Guides, "Guides", "Show or hide thirds in the viewfinders", plain(Key::G)),
    entry(
        Command::Checked,
        "What is whose",
        "Viewfinders show whose each pixel is, as it is checked: whom it is of in colours, faces lighter, clutter and what is to be kept out striped, photographers chequered",
        plain(Key::C),
    ),
    entry(Command::KeepFrame, "Keep to compare", "Hold this picture beside the live one, or let it go", plain(Key::K)),
    entry(Command::Findings, "Findings", "What is worth fixing", ctrl(Key::Num1)),
    entry(Command::Contents, "Contents", "Everything in the plan, by its kind", ctrl(Key::Num2)),
    entry(Command::Text, "Text of the plan", "The plan as it is written in its file", ctrl(Key::Num3)),
    entry(Command::Theme, "Light or dark", "Change between light and dark", ctrl(Key::L)),
    entry(Command::Larger, "Everything larger", "Larger letters and panels", ctrl_shift(Key::Plus)),
    entry(Command::Smaller, "Everything smaller", "Smaller letters and panels", ctrl_shift(Key::Minus)),
    entry(Command::Commands, "All commands", "Search what the program can do", ctrl(Key::K)),
    entry(Command::Keys, "Keys", "All keys on one sheet", plain(Key::F1)),
    entry(Command::Tour, "Tour", "A short way round the window", None),
    entry(Command::Quit, "Close", "Close the window; what isn't saved is asked for", ctrl(Key::Q)),
];

impl Command {
    pub fn entry(self) -> &'static Entry {
        COMMANDS.iter().find(|entry| entry.command == self).unwrap_or(&COMMANDS[0])
    }

    /// The keys as they are printed on them.
    pub fn keys(self, ctx: &egui::Context) -> String {
        self.entry().keys.map_or_else(String::new, |keys| ctx.format_shortcut(&keys))
    }
}

/// Commands whose keys were pressed, taken out of the input. Keys without Ctrl belong to whoever types.
pub fn pressed(ctx: &egui::Context) -> Vec<Command> {
    let types = ctx.egui_wants_keyboard_input();
    let mut found = Vec::new();
    // Keys with more modifiers first: those with fewer would take them.
    let mut entries: Vec<&Entry> = COMMANDS.iter().filter(|entry| entry.keys.is_some()).collect();
    entries.sort_by_key(|entry| std::cmp::Reverse(entry.keys.map_or(0, |keys| u8::from(keys.modifiers.shift))));
    for entry in entries {
        let Some(keys) = entry.keys else { continue };
        let is_plain = keys.modifiers == Modifiers::NONE;
        if is_plain && types && keys.logical_key != Key::Escape {
            continue;
        }
        if ctx.input_mut(|input| input.consume_shortcut(&keys)) {
            found.push(entry.command);
        }
    }
    found
}

/// Commands that hold every word searched for, those whose label begins with it first.
pub fn matching(search: &str) -> Vec<&'static Entry> {
    let words: Vec<String> = search.split_whitespace().map(str::to_lowercase).collect();
    let mut found: Vec<&Entry> = COMMANDS
        .iter()
        .filter(|entry| {
            let text = format!("{} {}", entry.label, entry.tip).to_lowercase();
            words.iter().all(|word| text.contains(word.as_str()))
        })
        .collect();
    let first = words.first().cloned().unwrap_or_default();
    found.sort_by_key(|entry| !entry.label.to_lowercase().starts_with(&first));
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn every_command_is_there_once_with_its_own_label_and_keys() {
        let commands: HashSet<Command> = COMMANDS.iter().map(|entry| entry.command).collect();
        let labels: HashSet<&str> = COMMANDS.iter().map(|entry| entry.label).collect();
        let keys: Vec<String> =
            COMMANDS.iter().filter_map(|entry| entry.keys).map(|keys| format!("{keys:?}")).collect();
        assert_eq!((commands.len(), labels.len()), (COMMANDS.len(), COMMANDS.len()));
        assert_eq!(keys.iter().collect::<HashSet<_>>().len(), keys.len());
        // The last of the enum: its number says how many there are.
        assert_eq!(Command::Quit as usize + 1, COMMANDS.len());
        assert!(COMMANDS.iter().all(|entry| entry.tip.len() > entry.label.len() || entry.tip.len() > 10));
    }

    #[test]
    fn search_finds_by_label_first_and_by_what_it_does() {
        assert_eq!(matching("undo").first().map(|entry| entry.command), Some(Command::Undo));
        assert!(matching("aisle").iter().any(|entry| entry.command == Command::Mirror));
        assert_eq!(matching("").len(), COMMANDS.len());
        assert!(matching("no such thing").is_empty());
    }
}
