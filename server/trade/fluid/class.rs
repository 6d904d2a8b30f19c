//! What a free text names: `DOT 4`, `SAE 20W-50 API SF`, `EP 90 GL-4`, `OAT coolant`, `NLGI 2 lithium`.

use thiserror::Error;

use super::brake::BrakeFluid;
use super::coolant::{Coolant, Glycol, Inhibitor};
use super::engine_oil::{ApiService, EngineHot, EngineOil, EngineWinter};
use super::gear_oil::{GearHot, GearOil, GearService, GearWinter};
use super::grease::{ChassisGrease, Grease, Nlgi, WheelGrease};
use crate::trade::closed_set::closed_set;
use crate::trade::tokens::Tokens;

closed_set! {
    /// The kind of a fluid. Two kinds never mix and never stand in for each other.
    pub enum FluidKind {
        Brake = "brake", "brake fluid";
        EngineOil = "engine-oil", "engine oil";
        GearOil = "gear-oil", "gear oil";
        AutomaticTransmission = "automatic-transmission", "automatic transmission fluid";
        Coolant = "coolant", "coolant";
        Grease = "grease", "grease";
        PowerSteering = "power-steering", "power steering fluid";
        Washer = "washer", "washer fluid";
        Refrigerant = "refrigerant", "refrigerant";
    }
}

/// A fluid by published class, as far as its text says. Its display text reads back as the same fluid.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Fluid {
    Brake(BrakeFluid),
    EngineOil(EngineOil),
    GearOil(GearOil),
    /// By the gearbox maker's own specification: no public class covers all of them.
    AutomaticTransmission,
    Coolant(Coolant),
    Grease(Grease),
    PowerSteering,
    Washer,
    /// Never worked on here: the gas belongs to licensed people.
    Refrigerant,
}

/// Why a text was not taken for a fluid.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Unread {
    #[error("No fluid was named: copy what the cap, the bottle or the manual says, such as DOT 4 or SAE 20W-50.")]
    Empty,

    #[error(
        "‘{0}’ names no published class: look on the label for DOT, SAE, API, GL, NLGI or the words of its kind, and \
         copy those. What is printed large is often only the name it is sold by."
    )]
    NotKnown(String),

    #[error("‘{0}’ says brake fluid but not which: look for DOT 3, DOT 4, DOT 5, DOT 5.1 or mineral on the cap.")]
    WhichBrakeFluid(String),

    #[error(
        "‘{0}’ can be glycol brake fluid, mineral oil or power steering fluid, and the wrong one ruins every seal: look for \
         DOT or the word mineral on the cap or in the manual."
    )]
    WhichHydraulic(String),

    /// At least two, lowest first.
    #[error("‘{read}’ names {}: write the one that is meant. For a bottle, the highest it claims.", named(grades))]
    Several { read: String, grades: Vec<BrakeFluid> },

    #[error("‘{0}’ contradicts itself: DOT 5 is silicone, DOT 3, DOT 4 and DOT 5.1 are not. Copy the label once more.")]
    SiliconeOrNot(String),

    #[error("‘{0}’ mixes the numbers of engine oil and gear oil, which are two scales: copy the label once more.")]
    EngineOrGear(String),

    #[error("‘{read}’: {number} is no {scale} grade.")]
    NoSuchGrade { read: String, number: String, scale: &'static str },
}

impl Fluid {
    /// Reads the class of a fluid off free text. Errors are sentences for the person who copied it.
    pub fn parse(text: &str) -> Result<Self, Unread> {
        let words = Tokens::read(text);
        if words.is_empty() {
            return Err(Unread::Empty);
        }
        let read = quoted(text);
        if is_refrigerant(&words) {
            return Ok(Self::Refrigerant);
        }
        if let Some(brake) = brake(&words, &read)? {
            return Ok(Self::Brake(brake));
        }
        if let Some(plain) = by_words(&words) {
            return Ok(plain);
        }
        if let Some(oil) = oil(&words, &read)? {
            return Ok(oil);
        }
        if words.has("HYDRAULIC") {
            return Err(Unread::WhichHydraulic(read));
        }
        Err(Unread::NotKnown(read))
    }

    pub fn kind(&self) -> FluidKind {
        match self {
            Self::Brake(_) => FluidKind::Brake,
            Self::EngineOil(_) => FluidKind::EngineOil,
            Self::GearOil(_) => FluidKind::GearOil,
            Self::AutomaticTransmission => FluidKind::AutomaticTransmission,
            Self::Coolant(_) => FluidKind::Coolant,
            Self::Grease(_) => FluidKind::Grease,
            Self::PowerSteering => FluidKind::PowerSteering,
            Self::Washer => FluidKind::Washer,
            Self::Refrigerant => FluidKind::Refrigerant,
        }
    }
}

/// In the words of its class, for a page.
impl std::fmt::Display for Fluid {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Brake(brake) => out.write_str(brake.label()),
            Self::EngineOil(oil) => oil.fmt(out),
            Self::GearOil(oil) => oil.fmt(out),
            Self::Coolant(coolant) => coolant.fmt(out),
            Self::Grease(grease) => grease.fmt(out),
            Self::AutomaticTransmission => {
                out.write_str("automatic transmission fluid, by the maker's own specification")
            }
            Self::PowerSteering | Self::Washer | Self::Refrigerant => out.write_str(self.kind().label()),
        }
    }
}

fn named(grades: &[BrakeFluid]) -> String {
    grades.iter().map(|grade| grade.label()).collect::<Vec<_>>().join(" and ")
}

/// What was typed, short, to be quoted in a sentence.
fn quoted(text: &str) -> String {
    const LONGEST: usize = 60;
    text.split_whitespace().collect::<Vec<_>>().join(" ").chars().take(LONGEST).collect()
}

fn is_refrigerant(words: &Tokens) -> bool {
    const GASES: [&str; 4] = ["12", "22", "134", "1234"];
    words.has("REFRIGERANT")
        || words.has_row(&["AIR", "CONDITIONING"])
        || words.after("R").any(|number| GASES.contains(&number))
}

fn brake(words: &Tokens, read: &str) -> Result<Option<BrakeFluid>, Unread> {
    let grades = brake_grades(words, read)?;
    let silicone = says_silicone(words);
    if grades.len() > 1 {
        return Err(Unread::Several { read: read.to_owned(), grades });
    }
    if let [only] = grades[..] {
        let contradicts = silicone.is_some_and(|silicone| silicone != (only == BrakeFluid::Dot5)) || is_mineral(words);
        return if contradicts { Err(Unread::SiliconeOrNot(read.to_owned())) } else { Ok(Some(only)) };
    }
    let for_brakes = words.has_any(&["BRAKE", "BRAKES", "BRAKING"]) && !words.has_any(&["GREASE", "CLEANER"]);
    let hydraulic = for_brakes || words.has_any(&["CLUTCH", "HYDRAULIC"]);
    if hydraulic && is_mineral(words) {
        return Ok(Some(BrakeFluid::Mineral));
    }
    if hydraulic && silicone == Some(true) {
        return Ok(Some(BrakeFluid::Dot5));
    }
    if for_brakes || words.has_any(&["DOT", "4925"]) {
        return Err(Unread::WhichBrakeFluid(read.to_owned()));
    }
    Ok(None)
}

/// The classes named, by DOT first; ISO and SAE numbers count only where no DOT grade stands, as many labels name an older
/// standard beside the grade. Each once, lowest first.
fn brake_grades(words: &Tokens, read: &str) -> Result<Vec<BrakeFluid>, Unread> {
    let iso = iso_class(words);
    let mut grades = Vec::new();
    for number in dot_numbers(words) {
        let grade = match number {
            "3" => BrakeFluid::Dot3,
            "4" if iso == Some(BrakeFluid::Dot4LowViscosity) => BrakeFluid::Dot4LowViscosity,
            "4" if iso == Some(BrakeFluid::Dot51LowViscosity) => BrakeFluid::Dot51LowViscosity,
            "4" => BrakeFluid::Dot4,
            "5" => BrakeFluid::Dot5,
            "5.1" if iso == Some(BrakeFluid::Dot51LowViscosity) => BrakeFluid::Dot51LowViscosity,
            "5.1" => BrakeFluid::Dot51,
            other => {
                let number = format!("DOT {other}");
                return Err(Unread::NoSuchGrade { read: read.to_owned(), number, scale: "brake fluid" });
            }
        };
        grades.push(grade);
    }
    if grades.is_empty() {
        grades.extend(iso);
    }
    if grades.is_empty() {
        grades.extend(words.after("J").filter_map(sae_brake));
    }
    grades.sort_unstable();
    grades.dedup();
    Ok(grades)
}

/// Every number after DOT, and the grades that follow it directly: `DOT 3/4`, `DOT 3 or 4`, but not `DOT 4 500 ml`.
fn dot_numbers(words: &Tokens) -> Vec<&str> {
    const GRADES: [&str; 4] = ["3", "4", "5", "5.1"];
    const MEASURES: [&str; 12] =
        ["L", "ML", "CL", "LTR", "LITRE", "LITRES", "LITER", "LITERS", "OZ", "FL", "PINT", "KG"];
    let is_number = |token: &str| token.starts_with(|first: char| first.is_ascii_digit());
    let mut numbers = Vec::new();
    for at in (1..words.len()).filter(|at| words.at(at - 1) == "DOT" && is_number(words.at(*at))) {
        numbers.push(words.at(at));
        for next in at + 1..words.len() {
            match words.at(next) {
                "OR" | "AND" => {}
                grade if GRADES.contains(&grade) && !MEASURES.contains(&words.at(next + 1)) => numbers.push(grade),
                _ => break,
            }
        }
    }
    numbers
}

fn iso_class(words: &Tokens) -> Option<BrakeFluid> {
    if !words.has("4925") {
        return None;
    }
    let at = (1..words.len()).find(|at| words.at(at - 1) == "CLASS")?;
    match (words.at(at), words.at(at + 1)) {
        ("3", _) => Some(BrakeFluid::Dot3),
        ("4", _) => Some(BrakeFluid::Dot4),
        ("5", "1") | ("5.1", _) => Some(BrakeFluid::Dot51),
        ("6", _) => Some(BrakeFluid::Dot4LowViscosity),
        ("7", _) => Some(BrakeFluid::Dot51LowViscosity),
        _ => None,
    }
}

fn sae_brake(number: &str) -> Option<BrakeFluid> {
    match number {
        "1703" => Some(BrakeFluid::Dot3),
        "1704" => Some(BrakeFluid::Dot4),
        "1705" => Some(BrakeFluid::Dot5),
        _ => None,
    }
}

/// Whether the text says silicone, says that it is none, or does not say.
fn says_silicone(words: &Tokens) -> Option<bool> {
    let denied = words.has_row(&["NON", "SILICONE"])
        || words.has_row(&["NOT", "SILICONE"])
        || words.has_row(&["SILICONE", "FREE"])
        || words.has_row(&["NON", "SBBF"]);
    if denied {
        return Some(false);
    }
    words.has_any(&["SILICONE", "SBBF"]).then_some(true)
}

fn is_mineral(words: &Tokens) -> bool {
    words.has("MINERAL") && !words.has_row(&["NON", "MINERAL"])
}

/// Fluids that their own words name.
fn by_words(words: &Tokens) -> Option<Fluid> {
    let automatic = words.has("AUTOMATIC") && words.has_any(&["TRANSMISSION", "GEARBOX"]);
    if automatic || words.has("ATF") {
        return Some(Fluid::AutomaticTransmission);
    }
    if words.has_row(&["POWER", "STEERING"]) {
        return Some(Fluid::PowerSteering);
    }
    if words.has_any(&["WASHER", "SCREENWASH"]) {
        return Some(Fluid::Washer);
    }
    if words.has_any(&["COOLANT", "ANTIFREEZE", "GLYCOL", "OAT", "HOAT", "IAT"]) || words.has_row(&["ANTI", "FREEZE"]) {
        return Some(Fluid::Coolant(coolant(words)));
    }
    if words.has_any(&["GREASE", "NLGI"]) || wheel_grease(words).is_some() {
        return Some(Fluid::Grease(grease(words)));
    }
    None
}

fn coolant(words: &Tokens) -> Coolant {
    let glycol = match (words.has_any(&["ETHYLENE", "MONOETHYLENE", "MEG"]), words.has_any(&["PROPYLENE", "MPG"])) {
        (true, false) => Some(Glycol::Ethylene),
        (false, true) => Some(Glycol::Propylene),
        (true, true) | (false, false) => None,
    };
    let hybrid = words.has_any(&["HOAT", "HYBRID"]);
    let organic = words.has_any(&["OAT", "ORGANIC"]);
    let minerals = words.has_any(&["SILICATE", "SILICATES", "SILICATED", "PHOSPHATE", "PHOSPHATES", "PHOSPHATED"])
        && !words.has_any(&["FREE", "NO", "NON", "WITHOUT"]);
    let inorganic = words.has_any(&["IAT", "INORGANIC", "CONVENTIONAL"]);
    let inhibitor = match (hybrid, organic, inorganic, minerals) {
        (true, _, false, _) | (false, true, false, true) => Some(Inhibitor::Hybrid),
        (false, true, false, false) => Some(Inhibitor::Organic),
        (false, false, true, _) | (false, false, false, true) => Some(Inhibitor::Inorganic),
        (true, _, true, _) | (false, true, true, _) | (false, false, false, false) => None,
    };
    Coolant { glycol, inhibitor }
}

fn grease(words: &Tokens) -> Grease {
    let nlgi = words.iter().skip_while(|word| *word != "NLGI").find_map(Nlgi::from_name);
    let chassis = words.iter().find_map(|word| ChassisGrease::from_name(&word.to_lowercase()));
    Grease { nlgi, chassis, wheel: wheel_grease(words) }
}

fn wheel_grease(words: &Tokens) -> Option<WheelGrease> {
    words.iter().find_map(|word| WheelGrease::from_name(&word.to_lowercase()))
}

fn oil(words: &Tokens, read: &str) -> Result<Option<Fluid>, Unread> {
    let service = gear_service(words);
    let services = api_services(words);
    let sae = sae_numbers(words);
    let gear = GearOil {
        winter: sae.winter.and_then(|number| GearWinter::from_name(&format!("{number}w"))),
        hot: sae.hot.and_then(GearHot::from_name),
        service,
    };
    let winter = sae.winter.and_then(|number| EngineWinter::from_name(&format!("{number}w")));
    let engine = EngineOil { winter, hot: sae.hot.and_then(EngineHot::from_name), services };
    let says_gear = service.is_some() || gear.winter.is_some() || gear.hot.is_some();
    let says_engine = engine.winter.is_some() || engine.hot.is_some() || !engine.services.is_empty();
    if let Some(number) = sae.unknown(&gear, &engine) {
        return Err(Unread::NoSuchGrade { read: read.to_owned(), number, scale: "SAE engine or gear oil" });
    }
    match (says_engine, says_gear) {
        (true, true) => Err(Unread::EngineOrGear(read.to_owned())),
        (true, false) => Ok(Some(Fluid::EngineOil(engine))),
        (false, true) => Ok(Some(Fluid::GearOil(gear))),
        (false, false) => Ok(oil_by_words(words)),
    }
}

fn oil_by_words(words: &Tokens) -> Option<Fluid> {
    let oil = words.has("OIL");
    if oil && words.has_any(&["ENGINE", "MOTOR"]) {
        return Some(Fluid::EngineOil(EngineOil::default()));
    }
    let gears = words.has_any(&["GEAR", "GEARBOX", "AXLE", "TRANSMISSION", "HYPOID", "DIFFERENTIAL", "FINAL"]);
    (oil && gears).then(|| Fluid::GearOil(GearOil::default()))
}

fn gear_service(words: &Tokens) -> Option<GearService> {
    let gl = words.after("GL").find_map(|number| GearService::from_name(&format!("gl-{number}")));
    gl.or_else(|| words.has_row(&["MT", "1"]).then_some(GearService::Mt1))
}

/// The letters after API, and elsewhere in a text that otherwise reads as engine oil. In the order of the list, each once.
fn api_services(words: &Tokens) -> Vec<ApiService> {
    let numbered = |at: usize| ApiService::from_name(&format!("{}-{}", words.at(at), words.at(at + 1)).to_lowercase());
    let plain = |at: usize| ApiService::from_name(&words.at(at).to_lowercase());
    let mut found: Vec<_> = (0..words.len()).filter_map(|at| numbered(at).or_else(|| plain(at))).collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// The two halves of a viscosity grade, either of which may be missing.
#[derive(Clone, Copy, Default)]
struct SaeNumbers<'a> {
    winter: Option<&'a str>,
    hot: Option<&'a str>,
}

impl SaeNumbers<'_> {
    /// A number that belongs to neither scale, so that a slip is not passed over.
    fn unknown(self, gear: &GearOil, engine: &EngineOil) -> Option<String> {
        let winter = self.winter.filter(|_| gear.winter.is_none() && engine.winter.is_none());
        let hot = self.hot.filter(|_| gear.hot.is_none() && engine.hot.is_none());
        winter.map(|number| format!("{number}W")).or_else(|| hot.map(str::to_owned))
    }
}

/// `20 W 50`, `SAE 30`, `EP 90`, `HYPOID 90`, `80 GEAR OIL`.
fn sae_numbers(words: &Tokens) -> SaeNumbers<'_> {
    let is_number = |token: &str| token.bytes().all(|byte| byte.is_ascii_digit()) && !token.is_empty();
    if let Some(at) = (1..words.len()).find(|at| words.at(*at) == "W" && is_number(words.at(at - 1))) {
        let next = if words.at(at + 1) == "SAE" { at + 2 } else { at + 1 };
        let hot = Some(words.at(next)).filter(|token| is_number(token));
        return SaeNumbers { winter: Some(words.at(at - 1)), hot };
    }
    let marked =
        ["SAE", "EP", "HYPOID"].into_iter().find_map(|mark| words.iter().skip_while(|word| *word != mark).nth(1));
    let before_oil = || {
        (1..words.len())
            .find(|at| matches!(words.at(*at), "OIL" | "GEAR" | "MOTOR" | "WEIGHT"))
            .map(|at| words.at(at - 1))
    };
    SaeNumbers {
        winter: None,
        hot: marked.filter(|token| is_number(token)).or_else(|| before_oil().filter(|token| is_number(token))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> String {
        match Fluid::parse(text) {
            Ok(fluid) => fluid.to_string(),
            Err(refusal) => panic!("{text}: {refusal}"),
        }
    }

    #[test]
    fn caps_and_bottles_are_read_as_they_are_printed() {
        for (text, expected) in [
            ("DOT 4", "DOT 4"),
            ("dot4 brake fluid", "DOT 4"),
            ("USE ONLY D.O.T. 3", "DOT 3"),
            ("DOT 4 500 ml", "DOT 4"),
            ("DOT 3 5 L can", "DOT 3"),
            ("DOT-5,1", "DOT 5.1"),
            ("DOT 5.1 NON-SBBF", "DOT 5.1"),
            ("DOT 5 silicone", "DOT 5 silicone"),
            ("silicone brake fluid", "DOT 5 silicone"),
            ("SAE J1703", "DOT 3"),
            ("FMVSS 116 DOT 4, SAE J1703", "DOT 4"),
            ("ISO 4925 class 5-1", "DOT 5.1"),
            ("DOT 4 (ISO 4925 Class 6)", "DOT 4 low viscosity (ISO 4925 class 6)"),
            ("green mineral hydraulic oil", "mineral hydraulic oil"),
            ("20w/50", "engine oil SAE 20W-50"),
            ("SAE 30", "engine oil SAE 30"),
            ("SAE 15W-40 API CF-4/SG", "engine oil SAE 15W-40 API SG CF-4"),
            ("SAE 10W SAE 40", "engine oil SAE 10W-40"),
            ("motor oil", "engine oil"),
            ("EP 90", "gear oil SAE 90"),
            ("Hypoid EP 80W-90 GL5", "gear oil SAE 80W-90 API GL-5"),
            ("75W GL-4", "gear oil SAE 75W API GL-4"),
            ("ATF", "automatic transmission fluid, by the maker's own specification"),
            (
                "Power steering: automatic transmission fluid",
                "automatic transmission fluid, by the maker's own specification",
            ),
            ("power-steering fluid", "power steering fluid"),
            ("OAT ethylene glycol antifreeze, red", "coolant, ethylene glycol, organic acid inhibitors"),
            ("blue coolant", "coolant"),
            ("silicated organic coolant", "coolant, hybrid organic inhibitors"),
            ("OAT coolant, silicate free", "coolant, organic acid inhibitors"),
            ("lithium grease NLGI #2, GC-LB", "grease NLGI 2 GC-LB"),
            ("screenwash", "washer fluid"),
            ("R134a", "refrigerant"),
            ("refrigerant R-12", "refrigerant"),
        ] {
            assert_eq!(read(text), expected, "{text}");
        }
    }

    #[test]
    fn what_leaves_a_choice_open_is_asked_back() {
        for (text, sentence) in [
            ("brake fluid", "not which"),
            ("hydraulic fluid", "ruins every seal"),
            ("DOT 3/4", "DOT 3 and DOT 4"),
            ("DOT 3, DOT 4 and 5.1", "DOT 3 and DOT 4 and DOT 5.1"),
            ("DOT 3 or DOT 5", "DOT 3 and DOT 5 silicone"),
            ("DOT 4 silicone", "contradicts itself"),
            ("DOT 5 non-silicone", "contradicts itself"),
            ("DOT 7", "DOT 7 is no brake fluid grade"),
            ("SAE 20W-90", "two scales"),
            ("SAE 35", "35 is no SAE"),
            ("13W-40", "13W is no SAE"),
            ("super blue stuff", "names no published class"),
            ("  ", "No fluid was named"),
        ] {
            let refusal = Fluid::parse(text).unwrap_err().to_string();
            assert!(refusal.contains(sentence), "{text}: {refusal}");
        }
    }

    proptest::proptest! {
        #[test]
        fn no_text_makes_it_panic(text in ".{0,80}", class in "(DOT|SAE|GL|J|NLGI|CLASS|API)[ -]?[0-9]{0,30}[.,W/]?[0-9]{0,3}") {
            for text in [text, class] {
                if let Ok(fluid) = Fluid::parse(&text) {
                    proptest::prop_assert_eq!(Fluid::parse(&fluid.to_string()), Ok(fluid));
                }
            }
        }
    }

    #[test]
    fn the_display_text_reads_back_as_the_same_fluid() {
        for text in [
            "DOT 3",
            "ISO 4925 class 7",
            "SAE 20W-50 API SF CC",
            "80W-90 GL-4",
            "ATF",
            "OAT propylene glycol",
            "NLGI 1 LB",
        ] {
            let fluid = Fluid::parse(text).unwrap();
            assert_eq!(Fluid::parse(&fluid.to_string()), Ok(fluid), "{text}");
        }
        for brake in BrakeFluid::ALL {
            assert_eq!(Fluid::parse(brake.label()), Ok(Fluid::Brake(*brake)), "{brake}");
        }
    }
}
