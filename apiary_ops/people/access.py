"""The access table: every named page, and the roles it opens for.

One line a page, in the order of the work. The middleware refuses a page that is missing here, and a test walks every
URL with every role. The owner opens everything.
"""

OWNER, OFFICE, CREW, GATE, BOOKKEEPER = "owner", "office", "crew", "gate", "bookkeeper"
EVERYONE = frozenset({OWNER, OFFICE, CREW, GATE, BOOKKEEPER})


def _roles(text: str) -> frozenset[str]:
    names = frozenset(text.split()) | {OWNER}
    unknown = names - EVERYONE
    if unknown:
        raise ValueError(f"Unknown roles in the access table: {sorted(unknown)}.")
    return names


# Pages that need no sign-in.
OPEN_PAGES = frozenset(
    {"people:sign-in", "core:live", "core:ready", "fieldbook:shell", "fieldbook:worker", "fieldbook:manifest"}
)
# Doors for a phone's own program: they answer 401 or 403 in JSON and never lead to the sign-in page.
JSON_PAGES = frozenset({"fieldbook:session", "fieldbook:yards", "fieldbook:pack", "fieldbook:records"})

ACCESS: dict[str, frozenset[str]] = {
    page: _roles(roles)
    for page, roles in {
        # people
        "people:sign-out": "office crew gate bookkeeper",
        "people:list": "",
        "people:add": "",
        "people:edit": "",
        "people:password": "office crew gate bookkeeper",
        # business
        "business:settings": "",
        "business:settings-edit": "",
        "business:terms-add": "",
        "business:tax-category-add": "",
        "business:tax-rate-add": "",
        "business:season-list": "office bookkeeper",
        "business:season-add": "",
        "business:season-edit": "",
        "business:season-choose": "office crew gate bookkeeper",
        # sheets
        "sheets:list": "office",
        "sheets:give": "office",
        "sheets:template": "office",
        "sheets:save": "office",
        "sheets:run": "office",
        "sheets:carry-out": "office",
        "sheets:undo": "office",
        "sheets:forget": "office",
        # yards
        "yards:list": "office crew",
        "yards:add": "office",
        "yards:detail": "office crew",
        "yards:edit": "office",
        "yards:no-go-add": "office crew",
        "yards:no-go-remove": "office crew",
        "yards:certificate-list": "office crew",
        "yards:certificate-add": "office",
        "yards:certificate": "office",
        "yards:fence-check": "office crew",
        "yards:bulk": "office crew",
        "yards:colony": "office crew",
        "yards:colony-add": "office crew",
        "yards:colony-edit": "office crew",
        "yards:colony-move": "office crew",
        "yards:colony-purpose": "office crew",
        "yards:colony-end": "office crew",
        "yards:colony-frames": "office crew",
        "yards:colony-split": "office crew",
        "yards:colony-swap": "office crew",
        "yards:colony-unite": "office crew",
        "yards:frames-strike": "office crew",
        "yards:sheet": "office crew",
        "yards:visit-list": "office crew",
        "yards:visit": "office crew",
        "yards:visit-start": "office crew",
        "yards:visit-edit": "office crew",
        "yards:visit-leave": "office crew",
        "yards:tally": "office crew",
        "yards:grid": "office crew",
        "yards:look": "office crew",
        "yards:stop": "office crew",
        "yards:task-list": "office crew",
        "yards:task-add": "office crew",
        "yards:task-finish": "office crew",
        "yards:task-reopen": "office crew",
        "yards:tasks-finish": "office crew",
        "yards:task-rules": "office crew",
        "yards:task-rule": "",
        "yards:next": "office crew",
        "yards:health": "office crew",
        "yards:requeen-list": "office crew",
        "yards:wash-add": "office crew",
        "yards:wash-correct": "office crew",
        "yards:brood-check-add": "office crew",
        "yards:brood-check-correct": "office crew",
        "yards:treatment-give": "office crew",
        "yards:treatment-end": "office crew",
        "yards:hold-list": "office crew gate",
        "yards:hold-add": "office crew",
        "yards:hold-lift": "office",
        "yards:change": "office crew",
        "yards:rules": "office crew",
        "yards:rules-change": "",
        # fieldbook
        "fieldbook:session": "office crew",
        "fieldbook:yards": "office crew",
        "fieldbook:pack": "office crew",
        "fieldbook:records": "office crew",
        "fieldbook:exceptions": "office crew",
        "fieldbook:settle": "office crew",
        # books
        "books:journal": "bookkeeper",
        "books:write": "bookkeeper",
        "books:entry": "bookkeeper",
        "books:reverse": "bookkeeper",
        "books:accounts": "bookkeeper",
        "books:account": "bookkeeper",
        "books:periods": "bookkeeper",
        "books:open-year": "",
        "books:lock": "",
        "books:close-year": "",
        # costs
        "costs:bills": "office bookkeeper",
        "costs:bill-record": "office bookkeeper",
        "costs:bill": "office bookkeeper",
        "costs:bill-reverse": "bookkeeper",
        "costs:payment-reverse": "bookkeeper",
        "costs:suppliers": "office bookkeeper",
        "costs:supplier-add": "office bookkeeper",
        "costs:supplier-edit": "office bookkeeper",
        "costs:assumptions": "bookkeeper",
        # queens
        "queens:overview": "office crew bookkeeper",
        "queens:order-add": "office",
        "queens:order": "office crew bookkeeper",
        "queens:order-edit": "office",
        "queens:order-cancel": "office",
        "queens:receive": "office",
        "queens:lot": "office crew bookkeeper",
        "queens:dead": "office crew",
        # nucs
        "nucs:list": "office crew gate bookkeeper",
        "nucs:kind-list": "office crew bookkeeper",
        "nucs:kind-add": "office",
        "nucs:kind-edit": "office",
        "nucs:split-day-list": "office crew",
        "nucs:split-day-plan": "office crew",
        "nucs:split-day": "office crew",
        "nucs:batch-make": "office crew",
        "nucs:batch": "office crew gate bookkeeper",
        "nucs:queens-in": "office crew",
        "nucs:batch-check": "office crew",
        "nucs:nuc": "office crew gate bookkeeper",
        "nucs:check": "office crew",
        "nucs:requeen": "office crew",
        "nucs:end": "office crew",
        "nucs:hold": "office crew",
        "nucs:release": "office",
        # orders
        "orders:list": "office gate bookkeeper",
        "orders:order": "office gate bookkeeper",
        "orders:new": "office",
        "orders:place": "office",
        "orders:order-edit": "office",
        "orders:buyers": "office gate bookkeeper",
        "orders:buyer": "office gate bookkeeper",
        "orders:buyer-add": "office",
        "orders:buyer-edit": "office",
        "orders:rounds": "office bookkeeper",
        "orders:round-add": "office",
        "orders:round-edit": "office",
        "orders:price-set": "office",
        # billing
        "billing:money-in": "office bookkeeper",
        "billing:deposits": "office bookkeeper",
        "billing:invoices": "office bookkeeper",
        "billing:receipts": "office bookkeeper",
        "billing:take-deposit": "office bookkeeper",
        "billing:refund-deposit": "office bookkeeper",
        "billing:keep-deposit": "office bookkeeper",
        "billing:cancel-line": "office",
        "billing:receipt": "office gate bookkeeper",
        "billing:receipt-paper": "office gate bookkeeper",
        "billing:invoice": "office gate bookkeeper",
        "billing:invoice-paper": "office gate bookkeeper",
        "billing:take-balance": "office gate bookkeeper",
        # capacity
        "capacity:overview": "office crew",
        "capacity:own-factors": "office crew",
        "capacity:own-factor-accept": "",
        "capacity:swarm-watch": "office crew",
        "capacity:recompute": "office",
        "capacity:assumptions": "",
        "capacity:weeks": "office",
        # promise
        "promise:take-order": "office",
        "promise:waitlist": "office",
        "promise:promise-line": "office",
        "promise:in-turn": "office",
        "promise:override-line": "",
        "promise:tell": "office",
        # allocation
        "allocation:plan": "office",
        "allocation:propose": "office",
        "allocation:plan-detail": "office",
        "allocation:accept": "office",
        "allocation:weeks": "office",
        "allocation:pin-list": "office",
        "allocation:pin-add": "office",
        "allocation:pin-remove": "office",
        # pickups
        "pickups:day-list": "office gate bookkeeper",
        "pickups:day-open": "office",
        "pickups:day": "office gate bookkeeper",
        "pickups:run-sheet": "office gate",
        "pickups:book": "office gate",
        "pickups:booking": "office gate bookkeeper",
        "pickups:booking-move": "office gate",
        "pickups:booking-nucs": "office gate",
        "pickups:booking-miss": "office gate",
        "pickups:booking-cancel": "office",
        "pickups:gate": "office gate",
        "pickups:hand-over": "office gate",
        "pickups:handed": "office gate bookkeeper",
        # margin
        "margin:season": "bookkeeper",
        # closing
        "closing:proofs": "bookkeeper",
        # desk
        "desk:home": "office crew gate bookkeeper",
        "desk:search": "office crew gate bookkeeper",
    }.items()
}


def may_open(role: str, page: str) -> bool:
    """Whether `role` may open the page of that URL name; a page missing from the table opens for nobody."""
    return page in OPEN_PAGES or role in ACCESS.get(page, frozenset())
