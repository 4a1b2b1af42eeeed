## Was eine Unterschrift bedeutet

meaning-inspected = geprüft
meaning-inspected-only = nur geprüft, nicht freigegeben
meaning-released = freigegeben
meaning-concession = Sonderfreigabe

## Der Block auf der ersten Seite

signed-off = Unterschrieben
signed-inspected = NUR GEPRÜFT – NICHT FREIGEGEBEN
signed-inspected-says = So wurde der Kopf vorgefunden. Dass er das Haus verlassen darf, sagt diese Unterschrift nicht.
signed-inspected-too = GEPRÜFT
signed-inspected-too-says = So wurde der Kopf vorgefunden. Freigegeben hat ihn eine frühere Unterschrift.
signed-released = FREIGEGEBEN
signed-released-says = Der Kopf ist konform und darf das Haus verlassen.
signed-concession = SONDERFREIGABE
signed-concession-says =
    Der Kopf ist nicht konform und darf dennoch das Haus verlassen: { $count ->
        [one] { $count } Abweichung ist angenommen, mit Begründung
       *[other] { $count } Abweichungen sind angenommen, jede mit Begründung
    } unter „Angenommene Abweichungen“.
label-signed-by = Unterschrieben von
label-signer-role = Funktion
label-signed-at = Unterschrieben am
label-code = Code zum Nachschlagen
label-signed-record = Unterschriebener Datensatz
label-sign-off-record = Unterschriftsdatensatz
signed-before = Zuvor unterschrieben
signed-before-more =
    { $count ->
        [one] { $count } frühere Unterschrift steht
       *[other] { $count } frühere Unterschriften stehen
    } weiter hinten; danach:
name-and-role = { $name }, { $role }
sign-off-check = Prüfen lässt sich diese Unterschrift durch Nachschlagen des Codes oder mit „headproof verify DATEI“.

## Was sonst von einer Unterschrift gesagt wird

sheet-closing-signed = Unterschrieben von { $name }, { $time }: { $meaning }.
signature-of = Unterschrift von { $name }
attached-sign-off = Unterschriftsdatensatz zu Kopf { $head }, Auftrag { $job }

## Der Abschnitt

sign-off-heading = Unterschrift
column-particular = Angabe
column-as-signed = Wie unterschrieben
label-signed-name = Name in Druckschrift
label-meaning = Bedeutung
label-signer-note = Bemerkung dazu
label-signed-evaluation = Unterschriebene Auswertung
signed-evaluation-is = Kopf { $head }, { $stage }, Revision { $revision }; Entscheid: { $disposition }
label-sign-off-digest = SHA-256 der Unterschrift (sign-off.json)
label-signer-certificate = SHA-256 des Zertifikats der Person
label-authority-certificate = SHA-256 des Zertifikats, das dafür bürgt
label-square-code = Im quadratischen Code steht
label-shop = Werkstatt
label-audit-trail = Ereignisprotokoll unmittelbar davor
audit-trail-is =
    { $count ->
        [one] { $count } Eintrag
       *[other] { $count } Einträge
    }
label-audit-trail-head = SHA-256 seines letzten Eintrags
concessions-heading = Angenommene Abweichungen
concession-characteristic = Merkmal
concession-reason = Angenommen, weil
concession-doubt = Zweifel an den Daten
sign-off-supersedes = Tritt an die Stelle von
column-revision = Revision
