"""What each person gets at each address: the expected answers, written down by hand.

A cell is one letter for nobody, staff, counter, manager and owner, in this order:

    o  it opens (or takes the form and says what is wrong with it)
    x  refused in plain words, 403
    s  asked to sign in
    k  asked for a program's key, 401
    w  told to sign in, in words beside what was typed
    -  there is no such method at this address, 405

Each address has two cells, GET and POST. Any other method is answered 405 to everybody.
"""

EXPECTED = {
    # Coming and going
    "home": ("soooo", "-----"),
    "health": ("ooooo", "-----"),
    "sign-in": ("ooooo", "ooooo"),
    "sign-out": ("-----", "sssss"),
    "password": ("soooo", "soooo"),
    # The first run, the shop and its people
    "setup": ("ooooo", "ooooo"),
    "begin": ("sxxxo", "sxxxo"),
    "shop": ("sxxxo", "sxxxo"),
    "staff": ("sxxxo", "-----"),
    "staff-invite": ("-----", "sxxxo"),
    "staff-role": ("-----", "sxxxo"),
    "staff-switch": ("-----", "sxxxo"),
    "staff-withdraw": ("-----", "sxxxo"),
    "programs": ("sxxxo", "sxxxo"),
    "program": ("sxxxo", "sxxxo"),
    "program-off": ("-----", "sxxxo"),
    "join": ("ooooo", "ooooo"),
    # The API
    "api:api-root": ("ooooo", "-----"),
    "api:openapi-json": ("ooooo", "-----"),
    "api:resolve": ("-----", "kkkkk"),
    "api:when": ("-----", "kkkkk"),
    "api:leave_request": ("-----", "kkkkk"),
    "api:read_request": ("kkkkk", "-----"),
    "api:ask_for_quote": ("-----", "kkkkk"),
    "api:read_quote": ("kkkkk", "-----"),
    "api:accept_quote": ("-----", "kkkkk"),
    "api:read_order": ("kkkkk", "-----"),
    # Size tables
    "size-tables": ("soooo", "-----"),
    "size-table": ("soooo", "-----"),
    "size-table-upload": ("-----", "sxxoo"),
    "size-table-workbook": ("sxxoo", "-----"),
    "size-table-draft": ("sxxoo", "sxxoo"),
    "size-table-discard": ("-----", "sxxoo"),
    "factory": ("sxxoo", "sxxoo"),
    # The counter and its requests
    "counter": ("sxooo", "sxooo"),
    "request": ("sxooo", "sxooo"),
    "counter-answer": ("-----", "wxooo"),
    "counter-opening": ("-----", "wxooo"),
    "counter-parts": ("sxooo", "-----"),
    "counter-kept": ("sxooo", "-----"),
    "requests": ("sxooo", "-----"),
    "pasted": ("sxooo", "sxooo"),
    "customers": ("sxooo", "-----"),
    "customer": ("sxooo", "sxooo"),
    "customer-new": ("sxooo", "sxooo"),
    "customer-double": ("sxooo", "-----"),
    "customer-merge": ("-----", "sxooo"),
    # Measuring sheets
    "measuring": ("sxooo", "-----"),
    "measuring-filled": ("sxooo", "-----"),
    "measure": ("ooooo", "ooooo"),
    "measure-sheet": ("ooooo", "-----"),
    "measure-sent": ("ooooo", "-----"),
    # Window schedules
    "schedules": ("sxooo", "sxooo"),
    "schedule": ("sxooo", "-----"),
    "schedule-template": ("sxooo", "-----"),
    "schedule-progress": ("sxooo", "sxooo"),
    "schedule-line": ("sxooo", "sxooo"),
    "schedule-request": ("-----", "sxooo"),
    "schedule-discard": ("-----", "sxooo"),
    "schedule-workbook": ("sxooo", "-----"),
    # Quotes and prices
    "quotes": ("sxooo", "-----"),
    "quote": ("sxooo", "-----"),
    "quote-issue": ("sxooo", "-----"),
    "quote-from-request": ("-----", "sxooo"),
    "quote-next": ("-----", "sxooo"),
    "quote-settle": ("-----", "sxooo"),
    "quote-draft": ("-----", "sxooo"),
    "quote-send": ("-----", "sxooo"),
    "quote-word": ("-----", "sxooo"),
    "quote-paper": ("sxooo", "-----"),
    "quote-sheet": ("sxooo", "-----"),
    "letter-again": ("-----", "sxooo"),
    "prices": ("sxxoo", "sxxoo"),
    "price-back": ("-----", "sxxoo"),
    # Links of customers and factories
    "quote-public": ("ooooo", "-----"),
    "quote-accept": ("-----", "ooooo"),
    "quote-change": ("-----", "ooooo"),
    "quote-public-pdf": ("ooooo", "-----"),
    "quote-public-xlsx": ("ooooo", "-----"),
    "factory-answer": ("ooooo", "ooooo"),
    "factory-paper": ("ooooo", "-----"),
    "order-public": ("ooooo", "ooooo"),
    "order-calendar": ("ooooo", "-----"),
    "factory-public": ("ooooo", "ooooo"),
    # Special quotes
    "specials": ("sxooo", "-----"),
    "special": ("sxooo", "-----"),
    "special-do": ("-----", "sxooo"),
    "special-ask": ("-----", "sxooo"),
    "special-flag": ("sxooo", "sxooo"),
    "enquiry-paper": ("sxooo", "-----"),
    "lead-time": ("sxooo", "sxooo"),
    # Orders
    "when": ("soooo", "-----"),
    "watch": ("soooo", "-----"),
    "notice-called": ("-----", "soooo"),
    "record": ("soooo", "-----"),
    "notice-texts": ("sxxoo", "-----"),
    "notice-text": ("sxxoo", "sxxoo"),
    "orders": ("soooo", "-----"),
    "order": ("soooo", "-----"),
    "order-line": ("-----", "soooo"),
    "order-note": ("-----", "soooo"),
    "order-by-hand": ("sxooo", "sxooo"),
    "order-again": ("-----", "sxooo"),
    "order-deposit": ("-----", "sxooo"),
    "order-take-back": ("-----", "sxooo"),
    "place-order": ("-----", "sxooo"),
    "send-to-factories": ("sxooo", "sxooo"),
    "factory-calendar": ("sxxoo", "sxxoo"),
    "factory-orders": ("sxooo", "-----"),
    "factory-order": ("sxooo", "sxooo"),
    "factory-order-paper": ("sxooo", "-----"),
    "chase-factory": ("-----", "sxooo"),
}
