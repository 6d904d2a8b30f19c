//! The bolt picture of a spec as pages show it: the drawing, the stages beside it, and where its order comes from. The template
//! is `specs/bolts.html`, the style sheet `css/bolts.css`.

use super::model::Spec;
use super::shown::{ShownSpec, ShownValue};
use crate::ids::SpecId;
use crate::trade::bolt_order::{Counted, Pattern, Picture, Shape, Stage, doubts};
use crate::trade::spec::{Fastener, Kind};

/// Units of the drawing from one bolt to the next at least: a head is 40 wide, so that two digits stand in it.
const APART: f64 = 54.0;
/// Around the outermost bolts.
const MARGIN: f64 = 32.0;
/// Half of what lies between two rows.
const HALF_ROWS: f64 = 36.0;
/// The least a drawing is wide between its outermost bolts: three bolts are still seen as a ring.
const LEAST: f64 = 190.0;
/// A drawing wider than this is not made smaller, but seen a part at a time.
const WIDEST: f64 = 620.0;

/// A bolt of the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Dot {
    /// `translate(32 68.5)`
    pub at: String,
    /// Its number by how the bolts lie, as an own order names it.
    pub place: usize,
    /// Its number by the order of tightening.
    pub turn: usize,
}

/// Bolts drawn to a scale at which their numbers can be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    pub width: String,
    pub height: String,
    pub is_wide: bool,
    /// The joint behind the bolts, as a path.
    pub joint: String,
    pub dots: Vec<Dot>,
}

impl Drawing {
    pub fn of(pattern: &Pattern) -> Drawing {
        let upright = match pattern.shape() {
            Shape::Ring | Shape::Oval => None,
            Shape::Row | Shape::TwoRows => Some(HALF_ROWS),
        };
        let scale = scale(pattern, upright);
        let raw: Vec<(f64, f64)> = pattern
            .places()
            .iter()
            .map(|place| (place.x * scale, upright.map_or(place.y * scale, |half| (place.y - 0.5) * 4.0 * half)))
            .collect();
        let ends = |of: fn(&(f64, f64)) -> f64| {
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            for one in raw.iter().map(of) {
                (low, high) = (low.min(one), high.max(one));
            }
            (low, high)
        };
        let ((left, right), (top, bottom)) = (ends(|one| one.0), ends(|one| one.1));
        let (width, height) = (right - left + 2.0 * MARGIN, bottom - top + 2.0 * MARGIN);
        let dot = |((x, y), place): (&(f64, f64), &crate::trade::bolt_order::Place)| Dot {
            at: format!("translate({} {})", number(x - left + MARGIN), number(y - top + MARGIN)),
            place: place.bolt,
            turn: place.turn,
        };
        let ring = (0.5 * scale, if pattern.shape() == Shape::Oval { scale / 3.0 } else { 0.5 * scale });
        let middle = (0.5 * scale - left + MARGIN, 0.5 * scale - top + MARGIN);
        Drawing {
            width: number(width),
            height: number(height),
            is_wide: width > WIDEST,
            joint: match upright {
                None => ellipse(middle, ring),
                Some(_) => frame(width, height),
            },
            dots: raw.iter().zip(pattern.places()).map(dot).collect(),
        }
    }
}

/// Units for the side of the pattern's square, so that no two heads touch.
fn scale(pattern: &Pattern, upright: Option<f64>) -> f64 {
    let places = pattern.places();
    let mut least = f64::INFINITY;
    for (index, a) in places.iter().enumerate() {
        for b in &places[..index] {
            let apart = match upright {
                None => (a.x - b.x).hypot(a.y - b.y),
                // Rows lie apart anyhow.
                Some(_) if (a.y - b.y).abs() > 1e-9 => continue,
                Some(_) => (a.x - b.x).abs(),
            };
            least = least.min(apart);
        }
    }
    if least.is_finite() { (APART / least).max(LEAST) } else { LEAST }
}

fn number(at: f64) -> String {
    let text = format!("{at:.1}");
    text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
}

fn ellipse((x, y): (f64, f64), (across, up): (f64, f64)) -> String {
    let (left, right, y) = (number(x - across), number(x + across), number(y));
    let (across, up) = (number(across), number(up));
    format!("M{left} {y}A{across} {up} 0 0 1 {right} {y}A{across} {up} 0 0 1 {left} {y}Z")
}

fn frame(width: f64, height: f64) -> String {
    format!("M4 4H{}V{}H4Z", number(width - 4.0), number(height - 4.0))
}

/// A stage: what is set, and the same in the source's unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShownStage {
    /// `60 N·m`, or `90° further`
    pub say: String,
    pub second: String,
}

impl ShownStage {
    fn of(written: &str) -> ShownStage {
        match Stage::parse(written) {
            Ok(Stage::Angle(angle)) => ShownStage {
                say: format!("{} further", ShownValue::of(Kind::Angle, &angle.to_string()).short()),
                second: String::new(),
            },
            Ok(Stage::Torque(_)) | Err(_) => {
                let shown = ShownValue::of(Kind::Torque, written);
                ShownStage { say: shown.short(), second: shown.second }
            }
        }
    }
}

/// The picture with everything that stands beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct BoltsView {
    pub spec: SpecId,
    pub item: String,
    pub drawing: Drawing,
    /// What is counted while they are tightened.
    pub counted: Counted,
    pub stages: Vec<ShownStage>,
    /// `10 bolts in two rows`, `4 wheels, each with 5 nuts in a ring`
    pub lie: String,
    /// Where the order comes from, and what goes before it.
    pub origin: String,
    pub lubrication: String,
    pub single_use: bool,
    /// What is odd about the stages, each a sentence.
    pub doubts: Vec<String>,
}

impl BoltsView {
    /// The picture of a spec, where it has one.
    pub fn of(spec: &Spec) -> Option<BoltsView> {
        let picture = spec.facts.bolts.as_ref()?;
        BoltsView::drawn(spec, picture, picture.joints)
    }

    /// The picture for a step that tightens `object` with these specs: the first that has one, with the joints that the step
    /// means.
    pub fn of_step<'a>(specs: impl IntoIterator<Item = &'a Spec>, object: &str) -> Option<BoltsView> {
        specs.into_iter().find_map(|spec| {
            let picture = spec.facts.bolts.as_ref()?;
            BoltsView::drawn(spec, picture, picture.joints_of(object))
        })
    }

    fn drawn(spec: &Spec, picture: &Picture, joints: usize) -> Option<BoltsView> {
        let fastener = spec.facts.fastener.as_ref().filter(|_| spec.facts.kind == Kind::Torque)?;
        let pattern = picture.pattern(fastener.bolts()).ok()?;
        let stages = stages(spec);
        let read: Vec<Stage> = spec.facts.stages.iter().filter_map(|stage| Stage::parse(stage).ok()).collect();
        let mut view = BoltsView {
            spec: spec.id,
            item: spec.facts.item.clone(),
            drawing: Drawing::of(&pattern),
            counted: Counted { order: pattern.order().to_vec(), stages: stages.len(), joints },
            lie: String::new(),
            origin: origin(picture, &pattern),
            stages,
            lubrication: lubrication(fastener),
            single_use: fastener.single_use,
            doubts: doubts(&read),
        };
        view.lie = view.how_they_lie(pattern.shape());
        Some(view)
    }

    fn how_they_lie(&self, shape: Shape) -> String {
        let plural = |word: &str| format!("{}s", word.to_lowercase());
        let each = format!("{} {} {}", self.counted.order.len(), plural(self.word()), shape.label());
        match self.counted.joints {
            1 => each,
            joints => format!("{joints} {}, each with {each}", plural(self.joint_word())),
        }
    }

    /// For those who do not see it.
    pub fn in_words(&self) -> String {
        let order: Vec<String> = self.counted.order.iter().map(usize::to_string).collect();
        format!("{}, numbered in the order of tightening. By their places: {}.", self.lie, order.join(", "))
    }

    /// What is tightened, by the last word of its item: `Bolt`, or `Nut`.
    pub fn word(&self) -> &'static str {
        let last = self.item.split_whitespace().last().unwrap_or_default().to_lowercase();
        if matches!(last.as_str(), "nut" | "nuts") { "Nut" } else { "Bolt" }
    }

    /// What has several of them: `Wheel`, or `Joint`.
    pub fn joint_word(&self) -> &'static str {
        if self.item.to_lowercase().starts_with("wheel ") { "Wheel" } else { "Joint" }
    }

    /// How a stage is called: `Head bolts, stage 2 of 3`; by the item alone where there is but one.
    pub fn stage_name(&self, stage: usize) -> String {
        match self.counted.stages {
            1 => self.item.clone(),
            all => format!("{}, stage {stage} of {all}", self.item),
        }
    }
}

/// The stages of the spec; where there are none, its value is the only one.
fn stages(spec: &Spec) -> Vec<ShownStage> {
    if !spec.facts.stages.is_empty() {
        return spec.facts.stages.iter().map(|stage| ShownStage::of(stage)).collect();
    }
    let shown = ShownSpec::from(spec);
    let second = match shown.values.as_slice() {
        [one] => one.second.clone(),
        _ => String::new(),
    };
    let say = shown.line();
    vec![ShownStage { say: if say.is_empty() { "no torque on record".into() } else { say }, second }]
}

fn origin(picture: &Picture, pattern: &Pattern) -> String {
    if picture.is_own() {
        return "An own order, typed in. Compare it with the maker’s manual: the maker’s order comes first.".into();
    }
    let why = pattern.sentence();
    format!(
        "Made by the general rule, not by the maker (common practice, no source). {why} Where the maker gives an order, that comes first."
    )
}

fn lubrication(fastener: &Fastener) -> String {
    fastener.lubrication.trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::sample::{says, spec};
    use crate::trade::spec::SourceKind;

    fn head(order: &str, stages: &[&str]) -> Spec {
        let mut found = spec(vec![says("62 lbf ft", SourceKind::MakersManual, false)]);
        found.facts.fastener = Some(Fastener {
            thread: "M12x1.75".into(),
            class: "10.9".into(),
            head: String::new(),
            count: 10,
            lubrication: "oiled".into(),
            single_use: true,
        });
        found.facts.bolts = Some(Picture { shape: Shape::TwoRows, order: order.into(), joints: 1 });
        found.facts.stages = stages.iter().map(|stage| (*stage).to_owned()).collect();
        found
    }

    /// Everything that could be drawn has room for its numbers, and lies on the paper.
    #[test]
    fn heads_never_touch_and_never_leave_the_paper() {
        for shape in Shape::ALL {
            for count in shape.least()..=40 {
                let drawing = Drawing::of(&Pattern::by_rule(*shape, count).unwrap());
                let (width, height): (f64, f64) = (drawing.width.parse().unwrap(), drawing.height.parse().unwrap());
                let at = |dot: &Dot| {
                    let inner = dot.at.trim_start_matches("translate(").trim_end_matches(')');
                    let (x, y) = inner.split_once(' ').unwrap();
                    (x.parse::<f64>().unwrap(), y.parse::<f64>().unwrap())
                };
                let dots: Vec<(f64, f64)> = drawing.dots.iter().map(at).collect();
                for (index, a) in dots.iter().enumerate() {
                    assert!(
                        a.0 >= 30.0 && a.1 >= 30.0 && a.0 <= width - 30.0 && a.1 <= height - 30.0,
                        "{shape} {count}"
                    );
                    let near = dots[..index].iter().map(|b| (a.0 - b.0).hypot(a.1 - b.1)).fold(f64::INFINITY, f64::min);
                    assert!(near >= 50.0, "{shape} {count}: {near}");
                }
            }
        }
    }

    #[test]
    fn bolts_are_numbered_in_the_order_of_tightening() {
        let view = BoltsView::of(&head("", &[])).unwrap();
        let by_turn = |turn: usize| view.drawing.dots.iter().find(|dot| dot.turn == turn).unwrap().place;
        assert_eq!((1..=10).map(by_turn).collect::<Vec<_>>(), view.counted.order);
        assert!(view.in_words().starts_with("10 bolts in two rows, numbered in the order of tightening."));
    }

    #[test]
    fn without_stages_the_value_is_the_only_one_and_an_angle_says_further() {
        let one = BoltsView::of(&head("", &[])).unwrap();
        assert_eq!((one.stages[0].say.as_str(), one.stages[0].second.as_str()), ("84 N·m", "62 lbf·ft"));
        assert_eq!(one.stage_name(1), "Sump plug");
        let three = BoltsView::of(&head("", &["30 Nm", "22 lbf ft", "90°"])).unwrap();
        let said: Vec<&str> = three.stages.iter().map(|stage| stage.say.as_str()).collect();
        assert_eq!(said, ["30 N·m", "30 N·m", "90° further"]);
        assert_eq!(three.stage_name(2), "Sump plug, stage 2 of 3");
    }

    #[test]
    fn it_says_where_the_order_comes_from() {
        assert!(BoltsView::of(&head("", &[])).unwrap().origin.contains("common practice, no source"));
        let own = BoltsView::of(&head("1 2 3 4 5 6 7 8 9 10", &[])).unwrap();
        assert!(own.origin.starts_with("An own order") && own.origin.ends_with("the maker’s order comes first."));
    }

    #[test]
    fn a_picture_that_no_longer_goes_with_its_fastener_is_not_drawn() {
        let mut odd = head("1 2 3 4 5 6 7 8 9 10", &[]);
        odd.facts.fastener.as_mut().unwrap().count = 8;
        assert_eq!(BoltsView::of(&odd), None);
    }
}
