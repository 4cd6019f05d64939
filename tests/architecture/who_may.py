"""Who may open each address of the site, written down by hand and apart from the views.

The walk compares this with what the site does, so a view that was opened to the wrong people disagrees with it, and
a new address that nobody wrote down here fails. “Open” answers anybody, “signed in” whoever is signed in, and a set
of roles answers those who hold one of them.
"""

from restoration.people.roles import Role

OPEN = "open"
SIGNED_IN = "signed in"

LEAD, BUILDER, TESTER, POWER, DRAWINGS, STORES, COORDINATOR = (
    Role.SITE_LEAD,
    Role.BUILDER,
    Role.TESTER,
    Role.POWER,
    Role.DRAWINGS,
    Role.STORES,
    Role.COORDINATOR,
)
ANY_ROLE = frozenset(Role)
LEAD_ONLY = frozenset({LEAD})
DRAWING_OFFICE = frozenset({LEAD, DRAWINGS})
AT_THE_RACK = frozenset({LEAD, TESTER})
TAKING_IN = frozenset({LEAD, TESTER, STORES})
WRITING_RECIPES = frozenset({LEAD, BUILDER, DRAWINGS, STORES})
KEEPING_STORES = frozenset({LEAD, STORES})
KEEPING_INSTRUMENTS = frozenset({LEAD, TESTER, POWER})
BUILDING = frozenset({LEAD, BUILDER})
RECORDING_CHANGES = frozenset({LEAD, TESTER, POWER, DRAWINGS})

WHO_MAY: dict[str, str | frozenset[Role]] = {
    # signing in
    "account_login": OPEN,
    "account_request_login_code": OPEN,
    "account_confirm_login_code": OPEN,
    "account_logout": OPEN,
    "account_signup": OPEN,
    "account_inactive": OPEN,
    "account_reauthenticate": SIGNED_IN,
    "mfa_login_webauthn": OPEN,
    "mfa_list_webauthn": SIGNED_IN,
    "mfa_index": SIGNED_IN,
    "mfa_add_webauthn": SIGNED_IN,
    "mfa_reauthenticate_webauthn": SIGNED_IN,
    "mfa_edit_webauthn": SIGNED_IN,
    "mfa_remove_webauthn": SIGNED_IN,
    # the demonstration, which is not there unless both the setting and the database say so
    "kestrel:capture": OPEN,
    "kestrel:cast": OPEN,
    "kestrel:play": OPEN,
    # people
    "people:me": SIGNED_IN,
    "people:invitation": OPEN,
    "people:person-list": ANY_ROLE,
    "people:person-detail": ANY_ROLE,
    "people:roles": ANY_ROLE,
    "people:person-add": frozenset({LEAD, COORDINATOR}),
    "people:invite": LEAD_ONLY,
    "people:role-give": LEAD_ONLY,
    "people:role-end": LEAD_ONLY,
    # the log book
    "logbook:entry-list": ANY_ROLE,
    "logbook:entry-detail": ANY_ROLE,
    # the machine
    "machine:rack-list": ANY_ROLE,
    "machine:rack-detail": ANY_ROLE,
    "machine:rack-add": DRAWING_OFFICE,
    "machine:rack-edit": DRAWING_OFFICE,
    "machine:slot-list": ANY_ROLE,
    "machine:slot-detail": ANY_ROLE,
    "machine:slot-add": DRAWING_OFFICE,
    "machine:slot-edit": DRAWING_OFFICE,
    "machine:terminal-add": DRAWING_OFFICE,
    "machine:design-list": ANY_ROLE,
    "machine:design-detail": ANY_ROLE,
    "machine:design-add": DRAWING_OFFICE,
    "machine:design-edit": DRAWING_OFFICE,
    "machine:issue-add": DRAWING_OFFICE,
    "machine:bench-points": DRAWING_OFFICE,
    "machine:design-stages": DRAWING_OFFICE,
    "machine:design-ends": DRAWING_OFFICE,
    "machine:rail-list": ANY_ROLE,
    "machine:rail-detail": ANY_ROLE,
    "machine:rail-add": DRAWING_OFFICE,
    "machine:rail-edit": DRAWING_OFFICE,
    "machine:earth-list": ANY_ROLE,
    "machine:earth-detail": ANY_ROLE,
    "machine:earth-add": DRAWING_OFFICE,
    "machine:earth-edit": DRAWING_OFFICE,
    "machine:chassis-list": ANY_ROLE,
    "machine:chassis-detail": ANY_ROLE,
    "machine:chassis-add": DRAWING_OFFICE,
    "machine:chassis-edit": DRAWING_OFFICE,
    "machine:signal-list": ANY_ROLE,
    "machine:signal-detail": ANY_ROLE,
    "machine:signal-add": DRAWING_OFFICE,
    "machine:signal-limits": DRAWING_OFFICE,
    "machine:interconnect-list": ANY_ROLE,
    "machine:interconnect-detail": ANY_ROLE,
    "machine:interconnect-add": DRAWING_OFFICE,
    "machine:interconnect-edit": DRAWING_OFFICE,
    "machine:wire-list-import": DRAWING_OFFICE,
    "machine:wire-list-confirm": DRAWING_OFFICE,
    "machine:wire-list-export": ANY_ROLE,
    "machine:wire-kind-list": ANY_ROLE,
    "machine:wire-kind-add": DRAWING_OFFICE,
    "machine:wire-kind-edit": DRAWING_OFFICE,
    "machine:follow": ANY_ROLE,
    "machine:loops": ANY_ROLE,
    "machine:query-list": ANY_ROLE,
    "machine:query-detail": ANY_ROLE,
    "machine:query-add": ANY_ROLE,
    "machine:query-answer": DRAWING_OFFICE,
    # the workshop
    "workshop:chassis-mine": ANY_ROLE,
    "workshop:chassis-work": ANY_ROLE,
    "workshop:chassis-allot": LEAD_ONLY,
    "workshop:step-add": BUILDING,
    "workshop:photo-add": BUILDING,
    "workshop:hand-over": BUILDING,
    "workshop:send-back": TAKING_IN,
    "workshop:photo-image": ANY_ROLE,
    "workshop:photo-small": ANY_ROLE,
    "workshop:stores": ANY_ROLE,
    "workshop:stores-line": ANY_ROLE,
    "workshop:stores-add": KEEPING_STORES,
    "workshop:stores-bring-in": KEEPING_STORES,
    "workshop:stores-edit": KEEPING_STORES,
    "workshop:stores-move": KEEPING_STORES,
    "workshop:coils": ANY_ROLE,
    "workshop:coil": ANY_ROLE,
    "workshop:coil-add": WRITING_RECIPES,
    "workshop:coil-edit": WRITING_RECIPES,
    # proving
    "proving:receive": TAKING_IN,
    "proving:cold-check": frozenset({LEAD, BUILDER, TESTER, POWER}),
    "proving:bench-test": frozenset({LEAD, TESTER, POWER}),
    "proving:bench-test-detail": ANY_ROLE,
    "proving:concession-add": DRAWING_OFFICE,
    "proving:instrument-list": ANY_ROLE,
    "proving:instrument-add": KEEPING_INSTRUMENTS,
    "proving:instrument-edit": KEEPING_INSTRUMENTS,
    "proving:join": AT_THE_RACK,
    "proving:lift": AT_THE_RACK,
    "proving:ring-out": AT_THE_RACK,
    "proving:signal-check-add": AT_THE_RACK,
    "proving:signal-check-detail": ANY_ROLE,
    "proving:capture-original": ANY_ROLE,
    "proving:capture-trace": ANY_ROLE,
    # faults
    "faults:fault-list": ANY_ROLE,
    "faults:fault-add": ANY_ROLE,
    "faults:fault-detail": ANY_ROLE,
    "faults:fault-edit": ANY_ROLE,
    "faults:attempt-add": ANY_ROLE,
    "faults:fault-close": AT_THE_RACK,
    "faults:fault-reopen": ANY_ROLE,
    # commissioning
    "commissioning:today": ANY_ROLE,
    "commissioning:readiness": ANY_ROLE,
    "commissioning:rack-readiness": ANY_ROLE,
    "commissioning:unlock": ANY_ROLE,
    "commissioning:unlock-rack": ANY_ROLE,
    "commissioning:gates": ANY_ROLE,
    "commissioning:gate-sign": frozenset({POWER}),  # of this gate: each gate says itself who may sign
    "commissioning:gate-record": ANY_ROLE,
    "commissioning:group-list": ANY_ROLE,
    "commissioning:group-detail": ANY_ROLE,
    "commissioning:group-add": DRAWING_OFFICE,
    "commissioning:group-edit": DRAWING_OFFICE,
    "commissioning:again": ANY_ROLE,
    "commissioning:again-sheet-new": AT_THE_RACK,
    "commissioning:again-sheet": ANY_ROLE,
    "commissioning:again-enter": ANY_ROLE,
    "commissioning:change-list": ANY_ROLE,
    "commissioning:change-new": RECORDING_CHANGES,
    "commissioning:change-form": RECORDING_CHANGES,
    "commissioning:change-before": ANY_ROLE,
    "commissioning:change-detail": ANY_ROLE,
    "commissioning:change-take-back": RECORDING_CHANGES,
    "commissioning:change-photo": ANY_ROLE,
    "commissioning:rule-list": ANY_ROLE,
    "commissioning:rule-edit": ANY_ROLE,  # the page with its history; the form is sent to rule-change
    "commissioning:rule-change": LEAD_ONLY,
    "commissioning:chassis-fit": AT_THE_RACK,
    "commissioning:chassis-withdraw": AT_THE_RACK,
    # signals in place
    "conditioning:link": ANY_ROLE,
    "conditioning:link-trace": ANY_ROLE,
    "conditioning:keep-prediction": RECORDING_CHANGES,
    "conditioning:note-add": RECORDING_CHANGES,
    "conditioning:note-detail": ANY_ROLE,
    "conditioning:note-card": ANY_ROLE,
    "conditioning:bench-list": ANY_ROLE,
    "conditioning:bench-slot": ANY_ROLE,
    "conditioning:constants": ANY_ROLE,
    "conditioning:constants-use": frozenset({LEAD, TESTER}),
    "conditioning:constants-detail": ANY_ROLE,
    "conditioning:scores": ANY_ROLE,
    # loose sums
    "sums:index": ANY_ROLE,
    "sums:sum": ANY_ROLE,
}

# A builder may do these to their own chassis, and to no other.
ON_THEIR_OWN = frozenset({"workshop:step-add", "workshop:photo-add", "workshop:hand-over"})

# Not there for the walker, though they may open it: there is no demonstration, and the passkey is another's.
NOT_THERE = frozenset({"kestrel:capture", "kestrel:cast", "kestrel:play"})
