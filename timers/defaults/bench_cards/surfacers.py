"""Surfacer and sealer, and how any coat is sprayed.  No source named: common practice, no source."""

from ...core.base.translate import later
from .card import Card

CARDS = [
    Card(
        "spray",
        later("Spray a coat"),
        drawing="spray",
        first=later("Gun square to the panel, same distance, same speed; each pass covers half of the last."),
        shows=later("Square to the panel, each pass over half of the last, begun past the edge."),
        need=(later("The product mixed by its sheet, strained; the tip its sheet names"),),
        how=(
            later("Set the pressure at the gun inlet with the trigger pulled."),
            later("Test the fan on paper: even, not split, not heavy at one end."),
            later("Edges first; begin and end each pass past the panel."),
            later("HVLP some 10 to 15 cm away, other guns 15 to 20 cm."),
        ),
        good=(later("Evenly wet, no dry strip, no run."),),
        wrong=(
            later("Runs: too near, too slow or too thick."),
            later("Dry and rough: too far, too fast or too much air."),
        ),
        cautions=("iso", "iso_air", "mist", "fire"),
        sources=("spray", "distance"),
    ),
    Card(
        "surfacer",
        later("Surfacer"),
        drawing="spray",
        first=later("Two or three even wet coats, each over half of the last pass, each flashed to matt."),
        shows=later("Square to the panel, each pass over half of the last, begun past the edge."),
        need=(
            later("Surfacer with hardener and reducer by its sheet; tip 1.6 to 1.8 mm; strainer; ground P180 to P320"),
        ),
        how=(
            later("Stir to the bottom of the tin, mix by the marks, strain."),
            later("Try the fan on paper first."),
            later("Same distance, same speed, gun never swung in an arc."),
            later("First coat on the repair only; each next one a hand wider."),
            later("Matt all over before the next coat."),
        ),
        good=(later("Evenly wet behind the gun, no dry strip, no runs."),),
        wrong=(
            later("A run: let it dry, block it out."),
            later("Sandy: too far, too fast or too hot. Sand it, coat again."),
            later("Craters (fisheyes): stop. Dry, sand, degrease, again."),
            later("Popping: coats too heavy or too soon. Sand out, coat again."),
            later("It wrinkles: soft ground below. Strip that spot."),
        ),
        cautions=("iso", "iso_air", "fire"),
        sources=("spray",),
    ),
    Card(
        "sealer",
        later("Sealer, wet on wet"),
        drawing="spray",
        first=later("One closed, even wet coat over the sanded ground; the base goes on inside its window, unsanded."),
        shows=later("Square to the panel, each pass over half of the last, begun past the edge."),
        need=(
            later("Sealer, or surfacer mixed as sealer; tip 1.3 to 1.4 mm; ground P400 to P600; a shade near the base"),
        ),
        how=(
            later("Clean and tack just before."),
            later("One wet coat; a second only if the sheet says so."),
            later("Flash to matt, then base inside the window."),
        ),
        good=(later("Flat and even, no scratch shows."),),
        wrong=(
            later("Dirt in it: flashed, take it off with P800, as the sheet allows."),
            later("A run, or scratches show: let it harden, sand, seal again."),
            later("Window missed: scuff before the base."),
        ),
        cautions=("iso", "iso_air", "fire"),
        sources=("spray",),
    ),
    Card(
        "can",
        later("Spray can"),
        drawing="can",
        first=later("Shake two minutes, can at room warmth, thin coats from 20 to 25 cm, and keep its recoat time."),
        shows=later("Press before the edge, let go past it; three thin coats beat one thick one."),
        need=(later("Primer, base and clear of one system; a card to test on"),),
        how=(
            later("Shake again between coats."),
            later("Half overlap; start and end off the panel."),
            later("1K clear: recoat soon or after days, as the can says. Between, it wrinkles."),
            later("2K clear: once pierced the clock runs; use it up."),
            later("At the end upside down, and spray the nozzle clear."),
        ),
        good=(later("Closed and even, no spits, no runs."),),
        wrong=(
            later("It wrinkles: recoated at the wrong time. Let it harden, sand, again."),
            later("It spits: nozzle dirty, or the can is cold or empty."),
            later("A run: let it harden, sand it flat."),
        ),
        cautions=("can2k", "canfire", "mist"),
    ),
]
