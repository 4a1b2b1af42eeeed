## Vorher und nachher

changes-heading = Vorher und nachher
changes-summary = Vorher ({ $stage }, Profil { $profile }, Datensatz { $record }): { $before } von { $of-before } begrenzten Merkmalen konform. Jetzt: { $now } von { $of-now }.
changes-how-to-read = Zeilen, deren Urteil sich geändert hat oder deren Wert sich um mehr als die erweiterte Messunsicherheit der Änderung verschoben hat (beide Werte als unabhängig angenommen). Die Grenzen zweier Stufen können sich unterscheiden: Verschleiß beim Eingang, Fertigung danach. Alle jetzigen Zeilen folgen; die vorherigen stehen in der angehängten Auswertung jener Stufe.
changes-none = Keine Zeile hat sich über das hinaus geändert, was die Messmittel zeigen konnten.
changes-verdict-before = Urteil vorher
changes-before = Vorher
changes-verdict-now = Urteil jetzt
changes-now = Jetzt
changes-change = Änderung
changes-uncertainty = U der Änderung

## Nicht darstellbare Zeichen

unshown-attached = Nicht darstellbare Zeichen; an ihrer Stelle stehen ihre Codepunkte: { $characters }. Der angehängte Datensatz enthält die Zeichen selbst.
unshown-posted = Nicht darstellbare Zeichen; an ihrer Stelle stehen ihre Codepunkte: { $characters }. Die Dokumente, aus denen diese Datei gemacht wurde, enthalten die Zeichen selbst.
unshown-and-more = und weitere
