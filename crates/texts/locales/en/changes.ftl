## Before and after

changes-heading = Before and after
changes-summary = Before ({ $stage }, profile { $profile }, record { $record }): { $before } of { $of-before } limited characteristics conformed. Now: { $now } of { $of-now }.
changes-how-to-read = Rows whose verdict is another than before, or whose value moved by more than the expanded uncertainty of the change (both values taken as independent). The limits of two stages may differ: wear as received, build afterwards. All rows of now follow; those of before stand in the attached evaluation of that stage.
changes-none = No row changed beyond what the gauges could tell.
changes-verdict-before = Verdict before
changes-before = Before
changes-verdict-now = Verdict now
changes-now = Now
changes-change = Change
changes-uncertainty = U of the change

## Characters that could not be shown

unshown-attached = Characters that could not be shown; their code points stand in their places: { $characters }. The record attached to this file has the characters themselves.
unshown-posted = Characters that could not be shown; their code points stand in their places: { $characters }. The documents this file was made from have the characters themselves.
unshown-and-more = and more
