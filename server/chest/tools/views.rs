//! What the chest shows of its sockets and keys.

use super::form::ToolForm;
use super::model::KeptTool;
use crate::ids::ToolId;
use crate::specs::from_car::FromCar;
use crate::trade::tools::{Drive, Size, Tool, ToolKind, near_pairs};
use crate::web::form::{Choice, Differs, Slips};
use crate::web::page::Page;
use crate::web::words::capital;
use askama::Template;
use rust_decimal::Decimal;

/// One of them, as a link.
pub struct ShownTool {
    pub href: String,
    /// Its size, or what it has instead of one.
    pub name: String,
    /// Length and outside diameter, as far as they were measured.
    pub more: String,
    /// Tools of this size are not usually made: perhaps a slip.
    pub odd: bool,
}

/// Those of one kind and square.
pub struct ToolGroup {
    pub title: String,
    pub tools: Vec<ShownTool>,
}

/// All of them, by kind and square, and which of them round a head.
pub struct ShownTools {
    pub groups: Vec<ToolGroup>,
    pub near: Vec<String>,
}

impl ShownTools {
    pub fn of(kept: &[KeptTool], from: FromCar) -> ShownTools {
        let mut sorted: Vec<&KeptTool> = kept.iter().collect();
        sorted.sort_by_key(|one| (one.tool.kind, one.tool.drive, by_size(&one.tool)));
        let mut groups: Vec<ToolGroup> = Vec::new();
        for one in sorted {
            let title = title(&one.tool);
            match groups.last_mut().filter(|group| group.title == title) {
                Some(group) => group.tools.push(shown(one, from)),
                None => groups.push(ToolGroup { title, tools: vec![shown(one, from)] }),
            }
        }
        let tools: Vec<Tool> = kept.iter().map(|one| one.tool.clone()).collect();
        ShownTools { groups, near: near_pairs(&tools).into_iter().map(|near| near.sentence()).collect() }
    }
}

/// Metric ones first, then inch ones, then lobes, each by size.
fn by_size(tool: &Tool) -> (u8, Decimal) {
    match tool.size {
        None => (0, Decimal::ZERO),
        Some(Size::Metric(size)) => (1, size),
        Some(Size::Inch { sixty_fourths }) => (2, sixty_fourths.into()),
        Some(Size::Inside(number)) => (3, number.into()),
        Some(Size::Outside(number)) => (4, number.into()),
    }
}

fn title(tool: &Tool) -> String {
    let square = tool.drive.map(|drive| format!(", {}", drive.label()));
    capital(&format!("{}{}", tool.kind.label(), square.unwrap_or_default()))
}

fn shown(kept: &KeptTool, from: FromCar) -> ShownTool {
    let tool = &kept.tool;
    let name = match (tool.size, tool.onto, &tool.reach) {
        (Some(size), _, _) => size.to_string(),
        (None, Some(onto), _) => format!("to {}", onto.label()),
        (None, None, Some(reach)) => reach.to_string(),
        (None, None, None) => "not measured".to_owned(),
    };
    let reach = tool.reach.as_ref().filter(|_| tool.size.is_some()).map(|reach| format!("{reach} long"));
    let outer = tool.outer.as_ref().map(|outer| format!("{outer} outside"));
    ShownTool {
        href: format!("/chest/tools/{}{}", kept.id, from.tail()),
        name,
        more: reach.into_iter().chain(outer).collect::<Vec<_>>().join(", "),
        odd: tool.size.is_some_and(|size| !size.is_usual()),
    }
}

/// The form for a socket or key.
#[derive(Template)]
#[template(path = "chest/tool.html")]
pub struct ToolPage {
    page: Page,
    from: FromCar,
    /// `None` for one that does not lie in the chest yet.
    tool: Option<ToolId>,
    called: String,
    form: ToolForm,
    slips: Slips,
    /// What is there now, where the tool was changed while the form was open.
    differs: Option<Vec<Differs>>,
}

impl ToolPage {
    pub fn new(page: Page, from: FromCar, kept: Option<&KeptTool>, form: ToolForm, slips: Slips) -> ToolPage {
        let called = kept.map(|kept| capital(&kept.tool.name())).unwrap_or_default();
        ToolPage { page, from, tool: kept.map(|kept| kept.id), called, form, slips, differs: None }
    }

    /// The same where somebody else changed it meanwhile: whoever saves now puts theirs in its place.
    pub fn collided(page: Page, from: FromCar, kept: &KeptTool, form: ToolForm) -> ToolPage {
        let differs = Some(form.differing(kept));
        let form = ToolForm { rev: kept.rev, ..form };
        ToolPage { differs, ..ToolPage::new(page, from, Some(kept), form, Slips::default()) }
    }

    fn kinds(&self) -> Vec<Choice> {
        let choice = |kind: &ToolKind| Choice::new(kind.name(), capital(kind.label()), kind.name() == self.form.kind);
        ToolKind::ALL.iter().map(choice).collect()
    }

    fn drives(&self, chosen: &str) -> Vec<Choice> {
        let known = Drive::read(chosen.trim());
        let choice = |drive: &Drive| {
            let (metric, unit) = drive.metric_name();
            let label = format!("{}, also called {} {}", drive.label(), metric.normalize(), unit_name(unit));
            Choice::new(drive.name(), label, known == Some(*drive))
        };
        Drive::ALL.iter().map(choice).collect()
    }

    fn action(&self) -> String {
        let id = self.tool.map(|id| format!("/{id}")).unwrap_or_default();
        format!("/chest/tools{id}{}", self.from.tail())
    }
}

fn unit_name(unit: crate::trade::quantity::LengthUnit) -> &'static str {
    use crate::trade::quantity::UnitSet;
    unit.name()
}
