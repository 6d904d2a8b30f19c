//! A supplier's lines as text to copy into a message.

use super::list::{Line, Supplier};

/// The text of an order. `car`: how the supplier knows the car, such as its model, year and identification number; empty where
/// that is nobody's business. It names neither prices nor jobs, which are the buyer's own.
pub fn order_text(supplier: &Supplier, car: &str) -> String {
    let mut lines = vec!["I would like to order:".to_owned(), String::new()];
    lines.extend(supplier.lines.iter().map(line));
    lines.push(String::new());
    if !car.trim().is_empty() {
        lines.push(format!("For this car: {}", on_one_line(car)));
    }
    lines.push("Please tell me price, delivery time, and whether a number was replaced by another.".to_owned());
    lines.join("\n") + "\n"
}

/// `- 2 × Copper washer 14 x 20 (number TW-90014)`
fn line(line: &Line) -> String {
    let number = on_one_line(&line.number);
    let number = if number.is_empty() { String::new() } else { format!(" (number {number})") };
    format!("- {} {}{number}", on_one_line(&line.how_many()), on_one_line(&line.name))
}

fn on_one_line(text: &str) -> String {
    text.split(|letter: char| letter.is_whitespace() || letter.is_control())
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}
