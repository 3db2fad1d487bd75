"""Every sentence and word of the packs, marked once for translation. Written by ``manage.py packs words``."""

from __future__ import annotations

from shop.core.phrase import phrase

MARKED = (
    phrase("federal baseline"),
    phrase(
        "Who does a step with refrigerant for pay holds a 609 card that was issued by that day. A 609 "
        "card has no end date in federal law."
    ),
    phrase("A machine is used only for the refrigerant that it is made for."),
    phrase(
        "The machine meets the standard set for its refrigerant and what it does, or was bought before "
        "the day that older machines are excused by."
    ),
    phrase(
        "The owner or a responsible officer signs a statement about the shop's equipment and sends it to "
        "the EPA region of the state."
    ),
    phrase("The shop has proof that everybody who is authorised to run its equipment is certified now."),
    phrase(
        "Nobody knowingly lets refrigerant of a car go into the air. R-134a, R-152a and R-1234yf are not "
        "exempt. What escapes in a recovery done in good faith is not meant; no number of grams is set."
    ),
    phrase(
        "Recovered refrigerant is recycled or reclaimed before it goes into a car, the same car included. "
        "This shop charges from cans only."
    ),
    phrase(
        "The shop keeps the name and address of every facility that it sends refrigerant to. The "
        "paragraph points at one kind of machine, almost surely by an old cross-reference; it is kept for "
        "all."
    ),
    phrase(
        "For a car that is scrapped there is a signed statement of who recovered its refrigerant, where "
        "and when, or a contract."
    ),
    phrase(
        "A recovery cylinder is filled only for five years after its stamp; some may go longer. Have it "
        "requalified. It may still be emptied or sent off."
    ),
    phrase(
        "A can made to hold two pounds or less, with a fitting of its own and, if made since 2018, a "
        "valve that closes itself, may be bought by anybody."
    ),
    phrase(
        "A container of more than two pounds is sold only to a shop that shows the seller a 609 card of "
        "one of its people. Keep a copy of what was shown."
    ),
    phrase(
        "From 2028 some used disposable cylinders go to a reclaimer or another named receiver, or their "
        "heel is taken out and certified. Cans of two pounds or less are believed to be exempt; that line "
        "has not been read."
    ),
    phrase(
        "New cars and light trucks since model year 2021 are listed for other refrigerants. Look at the "
        "label under the hood once more. Servicing a car that holds R-134a is not touched by this."
    ),
    phrase(
        "A car that was changed to another refrigerant carries a label: who did it and where, the day, "
        "the refrigerant and its charge, the oil."
    ),
    phrase("Small cans of R-1234yf have service fittings of their own. Use no adapter."),
    phrase(
        "Cards, addresses of facilities, sales of refrigerant and disposal statements are kept for three "
        "years at least, at the shop."
    ),
    phrase(
        "An authorised officer of the EPA who shows credentials is let in and sees the records that this "
        "section asks for. The refrigerant book, job papers and usage reports are not among them: federal "
        "law asks for none of these."
    ),
    phrase("California"),
    phrase(
        "When the estimate, the invoice or an advertisement calls the work a service, an inspection, a "
        "diagnosis, a top-off or the like, each part on the list is looked at."
    ),
    phrase("hoses, tubing and connections that can be seen"),
    phrase("compressor and clutch"),
    phrase("compressor turns"),
    phrase("service ports: caps, threads, labels"),
    phrase("condenser"),
    phrase("expansion device"),
    phrase("accumulator, receiver or in-line filter"),
    phrase("drive belts"),
    phrase("fan clutch"),
    phrase("fan"),
    phrase("electrical connections"),
    phrase("refrigerant in use identified"),
    phrase("The final invoice gives the pressure of the low side at work."),
    phrase("low side"),
    phrase("The final invoice gives the pressure of the high side at work."),
    phrase("high side"),
    phrase("The final invoice gives the temperature at the centre vent."),
    phrase("vent temperature"),
    phrase("There is an itemised invoice for all work and parts, with the dealer registration number."),
    phrase("All papers of one job carry one number that links them."),
    phrase(
        "Invoices, invoices of parts that were bought (cans too), estimates, work orders and "
        "authorisations are kept for three years and are open to inspection."
    ),
    phrase("A shop that sells small cans keeps the invoices of cans bought and sold for five years."),
    phrase(
        "A can between two ounces and two pounds whose refrigerant has a warming number above 150 has a "
        "valve that closes itself and is certified by the state. Look for that on the can."
    ),
    phrase(
        "A small can is not thrown away with refrigerant in it; it goes the way of recovery. Write down "
        "where it went."
    ),
    phrase(
        "A deposit of ten dollars was paid for each small can and came back for an unbreached can within "
        "90 days."
    ),
    phrase("San Francisco Bay Area air district"),
    phrase("No refrigerant is added unless no leak can be found."),
    phrase(
        "First look at the system, then go over it with an electronic detector, before refrigerant is added."
    ),
    phrase("Connecticut"),
    phrase("There is an invoice for all work, and both sides keep a copy."),
    phrase(
        "Refrigerant in a car is neither toxic nor flammable unless the EPA lists it for cars. R-1234yf "
        "and R-152a are listed, each under conditions."
    ),
    phrase("Florida"),
    phrase(
        "The shop keeps records of its services to car air conditioning and of the refrigerant it bought, "
        "recycled and had reclaimed."
    ),
    phrase("Who does the work is trained, and the equipment is of a kind that the state takes."),
    phrase("Michigan"),
    phrase("Papers of a repair are kept for three years, and longer while a complaint is open."),
    phrase("New York"),
    phrase("Invoices, orders, estimates and orders of parts are kept for two years."),
    phrase("Vermont"),
    phrase("By rule, shops document the vehicles they repair and the refrigerant they buy."),
    phrase("Washington"),
    phrase(
        "The rule reaches who buys a small can of a listed refrigerant, not only who sells it. Keep the "
        "ground on which this can was bought with the papers of its delivery."
    ),
    phrase(
        "The list is believed to begin at a warming number of 150, so that R-1234yf and R-152a would be "
        "outside it."
    ),
    phrase("Refrigerant of a car is recovered in service, and nobody lets it go on purpose."),
    phrase("Wisconsin"),
    phrase(
        "Before the work the customer is told that refrigerant may not be added to a leaking system, and "
        "that it may not be recharged until it is repaired."
    ),
    phrase(
        "No refrigerant may be added to a system that leaks, and yours may not be recharged until a leak "
        "that is found is repaired."
    ),
    phrase(
        "No refrigerant goes into a system that leaks. Write down the repair, check again, or close the "
        "job as not charged."
    ),
    phrase("The system is examined for leaks by an accepted method before it is repaired or serviced."),
    phrase("Topping off without recovery is said to be forbidden here."),
    phrase(
        "The record of each repair belongs to the technician who did it, not to the business: each stage "
        "and the certificate name who did what."
    ),
    phrase(
        "A car that gets another refrigerant than before carries a label that names the trained technician."
    ),
    phrase(
        "Repair orders, invoices, authorisations, who worked on each repair and invoices of parts are "
        "kept for two years."
    ),
)
