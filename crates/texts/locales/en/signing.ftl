## What a signature means

meaning-inspected = inspected
meaning-inspected-only = inspected only, not released
meaning-released = released
meaning-concession = released by concession

## The block on the first page

signed-off = Signed off
signed-inspected = INSPECTED ONLY – NOT RELEASED
signed-inspected-says = This is what was found on the head. The signature does not say that the head may leave.
signed-inspected-too = INSPECTED
signed-inspected-too-says = This is what was found on the head. It was released by a signature before this one.
signed-released = RELEASED
signed-released-says = The head conforms and may leave.
signed-concession = RELEASED BY CONCESSION
signed-concession-says =
    The head does not conform and may leave all the same: { $count ->
        [one] { $count } deviation is accepted, for the reason given
       *[other] { $count } deviations are accepted, each for the reason given
    } under “Accepted deviations”.
label-signed-by = Signed by
label-signer-role = Role
label-signed-at = Signed at
label-code = Code to look it up by
label-signed-record = Record signed
label-sign-off-record = Sign-off record
signed-before = Signed before it
signed-before-more =
    { $count ->
        [one] { $count } earlier signature stands
       *[other] { $count } earlier signatures stand
    } further back; after that:
name-and-role = { $name }, { $role }
sign-off-check = To check this signature, look the code up, or run “headproof verify FILE”.

## What else is said of a signature

sheet-closing-signed = Signed by { $name }, { $time }: { $meaning }.
signature-of = Signature of { $name }
attached-sign-off = Sign-off of head { $head }, job { $job }

## The section

sign-off-heading = Sign-off
column-particular = What
column-as-signed = As signed
label-signed-name = Printed name
label-meaning = Meaning
label-signer-note = Remark of the signer
label-signed-evaluation = Evaluation signed
signed-evaluation-is = Head { $head }, { $stage }, revision { $revision }; disposition: { $disposition }
label-sign-off-digest = SHA-256 of the sign-off (sign-off.json)
label-signer-certificate = SHA-256 of the signer's certificate
label-authority-certificate = SHA-256 of the authority's certificate
label-square-code = The square code says
label-shop = Shop
label-audit-trail = Audit trail just before
audit-trail-is =
    { $count ->
        [one] { $count } entry
       *[other] { $count } entries
    }
label-audit-trail-head = SHA-256 of its last entry
concessions-heading = Accepted deviations
concession-characteristic = Characteristic
concession-reason = Accepted because
concession-doubt = doubt about the data
sign-off-supersedes = Takes the place of
column-revision = Revision
