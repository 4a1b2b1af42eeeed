//! The table of characteristics as a page for people.

use headproof_judge::{Characteristic, Measure, Scope, Shown, table};

const OPENING: &str = "# What headproof measures and works out

Written by `headproof describe` from the table the service judges by; the program's tests compare the two.
A characteristic marked *on request* appears in an evaluation when the profile limits it or names it in
`also_report`. Amounts are stated in the unit given here, whatever units a set or a profile is written in.
Where a source says *from memory*, the standard's text was not at hand when the formula was written.
Uncertainties are standard uncertainties, stated expanded by a coverage factor of 2.
";

/// The page: one table for the head, one for cylinders, one for ports.
pub(super) fn page() -> String {
    let scopes = [
        ("The head as a whole", Scope::Head),
        ("Each cylinder", Scope::Cylinder),
        ("Each port", Scope::Port),
    ];
    let tables = scopes.map(|(title, scope)| {
        let rows: String = table().filter(|row| row.scope() == scope).map(line).collect();
        format!(
            "\n## {title}\n\n| characteristic | unit | formula | source | uncertainty | outside check |\n\
             | --- | --- | --- | --- | --- | --- |\n{rows}"
        )
    });
    OPENING.to_owned() + &tables.concat()
}

fn line(row: &Characteristic) -> String {
    let unit = match row.measure() {
        Measure::Amount(kind) => kind.base_unit().code(),
        Measure::InOrder => "–",
    };
    let request = match row.shown() {
        Shown::Measured => "",
        Shown::Requested => " *(on request)*",
    };
    let cells =
        [row.formula, row.source, row.uncertainty, row.outside_check].map(|text| text.replace('|', "\\|"));
    format!("| {}<br>`{}`{request} | {unit} | {} |\n", row.title, row.id, cells.join(" | "))
}
