//! A socket, key or adapter as it lies in the chest.

use crate::error::AppError;
use crate::ids::ToolId;
use crate::trade::tools::{Tool, ToolError, ToolKind, Typed};

/// What its owner typed, apart from blanks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToolFacts {
    pub kind: ToolKind,
    pub size: String,
    pub drive: String,
    pub onto: String,
    /// Overall length.
    pub reach: String,
    pub outer: String,
}

impl ToolFacts {
    /// As the trade reads it. Errors are sentences for the owner.
    pub fn tool(&self) -> Result<Tool, ToolError> {
        let typed =
            Typed { size: &self.size, drive: &self.drive, onto: &self.onto, reach: &self.reach, outer: &self.outer };
        Tool::read(self.kind, typed)
    }

    /// A tool of a set, as if its fields had been typed one by one.
    pub fn of(tool: &Tool) -> ToolFacts {
        let text = |value: Option<String>| value.unwrap_or_default();
        ToolFacts {
            kind: tool.kind,
            size: text(tool.size.map(|size| size.to_string())),
            drive: text(tool.drive.map(|drive| drive.name().to_owned())),
            onto: text(tool.onto.map(|drive| drive.name().to_owned())),
            reach: text(tool.reach.as_ref().map(ToString::to_string)),
            outer: text(tool.outer.as_ref().map(ToString::to_string)),
        }
    }
}

/// One that makes sense.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptTool {
    pub id: ToolId,
    pub facts: ToolFacts,
    pub tool: Tool,
    pub rev: i64,
}

impl KeptTool {
    /// Errors where what is stored makes no sense (any more).
    pub fn read(id: ToolId, facts: ToolFacts, rev: i64) -> Result<KeptTool, AppError> {
        let tool =
            facts.tool().map_err(|cause| AppError::internal(format!("chest_tools.{id} cannot be read: {cause}")))?;
        Ok(KeptTool { id, facts, tool, rev })
    }
}
