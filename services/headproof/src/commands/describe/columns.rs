//! The table of columns as a page for people.

use headproof_tabular::{Family, Kind, MOST_REPEATS, Needed, Scope, families};

const OPENING: &str = "# Columns of a CSV file of measurements

Written by `headproof describe` from the table the service reads by. A file is one row for each port; its rows become job
requests, one for each head.

- RFC 4180, UTF-8, separated by commas; line ends CR LF, LF or CR. A byte order mark at the start is passed over, and so is
  a row in which nothing stands. Rows are counted as a spreadsheet counts: the header is row 1.
- The header names columns of this page in any order. A name that is not here, or stands twice, is a fault.
- The rows of one head have the same `serial` and `stage` and stand together.
- What belongs to a head may stand on one of its rows or on several; wherever it stands, it says the same. What belongs to a
  cylinder likewise, on the rows of that cylinder.
- An empty cell was not measured or is not known. Nothing is filled in, and nothing is repaired.
- Numbers are written as JSON writes them: with a decimal point, at most 15 significant digits, no unit, no spaces. Units are
  those of `length_unit`, `force_unit`, `volume_unit`, `pressure_unit` and `roughness_unit`; angles are degrees, temperatures
  degrees Celsius, durations seconds.
- `yes` or `no` is how a question is answered. Words are those of [the schema](schemas/job-request.schema.json).
- `{n}` and `{m}` are numbers from 1 to the one given behind the name, filled in without a gap.
- The profile is named in `profile_id` and `profile_revision`, or is given beside the file.

What is not here needs JSON: more readings than there are numbers, an instrument or an uncertainty of its own for a single
one of several numbered readings that have no such columns, the chamber of a cylinder no port of which has a row, and a
workshop for a rework plan.

[csv-metadata.json](csv-metadata.json) describes all columns as W3C CSV on the Web does; `headproof convert FILE.csv
--metadata FILE.csv-metadata.json` describes those of one file, as beside the examples.
";

/// The page: one table for each thing a column can belong to.
pub(super) fn page() -> String {
    let scopes: [(&str, &[Scope]); 4] = [
        ("The port of the row", &[Scope::Port]),
        ("Its cylinder", &[Scope::Chamber, Scope::Diesel]),
        ("Its head", &[Scope::Head]),
        ("The request", &[Scope::Request]),
    ];
    let tables = scopes.map(|(title, scopes)| {
        let rows: String = families().filter(|family| scopes.contains(&family.scope)).map(line).collect();
        format!(
            "\n## {title}\n\n| column | holds | needed | says | goes to |\n| --- | --- | --- | --- | --- |\n{rows}"
        )
    });
    let beside = format!(
        "\n## Beside a reading\n\nEach column that holds a *reading* may have further columns beside it, here of `seat_angle`:\n\n\
         | column | holds | says |\n| --- | --- | --- |\n\
         | `seat_angle_instrument` | text | id of the instrument, one of `instrument_{{n}}_id` |\n\
         | `seat_angle_uncertainty` | number | expanded uncertainty of this reading, in its unit |\n\
         | `seat_angle_coverage_factor` | number | coverage factor of that; 2 when left out |\n\
         | `seat_angle_repeat_{{n}}` 1–{MOST_REPEATS} | number | the values, where it was taken several times; `seat_angle` is then empty |\n"
    );
    OPENING.to_owned() + &tables.concat() + &beside
}

fn line(family: &Family) -> String {
    let holds = match family.kind {
        Kind::Reading => "reading",
        Kind::Number => "number",
        Kind::Integer => "whole number",
        Kind::Word => "word",
        Kind::YesNo => "yes or no",
        Kind::Text => "text",
        Kind::Date => "day",
        Kind::DateTime => "date and time",
        Kind::NoneOfThem => "`none`",
    };
    let needed = match family.needed {
        Needed::EachRow => "on every row",
        Needed::EachHead => "once for each head",
        Needed::Never => "",
    };
    let most = match family.most {
        (0, _) => String::new(),
        (n, 0) => format!(" 1–{n}"),
        (n, m) => format!(" 1–{n}, 1–{m}"),
    };
    let (name, says, pointer) = (family.name, family.description, family.pointer());
    format!("| `{name}`{most} | {holds} | {needed} | {says} | `{pointer}` |\n")
}
