"""Where what a bench card says is published: names as their makers wrote them, never translated.

Each was read in a stored public copy in November 2026, by the words that are cited; none was fetched from its own site.
"""

SOURCES = {
    "hse_rpe": "HSE (UK), Motor vehicle repair: respiratory protective equipment",
    "hse_clear": "HSE (UK), Bodyshop myths 4 and 5: clearance time",
    "hse_coshh": "HSE (UK), COSHH and vehicle spray painters (sheet MR5: flatting)",
    "hse_dust": "HSE (UK), Lung disease: motor vehicle repair",
    "hse_epoxy": "HSE (UK), Research report 79: skin sensitisation by epoxy resin",
    "niosh": "NIOSH (US), Engineering controls database: autobody repair, sanding",
    "lead_au": "Australian Government, Lead alert facts: lead in auto paints",
    "osha_air": "OSHA (US), 29 CFR 1910.242(b)",
    "osha_fire": "OSHA (US), 29 CFR 1910.107(c)",
    "wac_rags": "Washington State (US), WAC 296-24-37013(3)",
    "ghs_peroxide": "GHS statements of benzoyl peroxide paste: H241, H317, P210, P234",
    "spray": "California ARB, Refinishing: tips for transfer efficiency; US Air Force T.O. 1-1-8, 4.4.1",
    "distance": "Auto Collision Repair and Refinishing (textbook, 2022), chapter 28: distance by kind of gun",
}
