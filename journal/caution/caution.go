// Package caution has the usual care for each kind of work at the bench, in a
// sentence or two that are said as a stage begins.
//
// Start with For. The texts are short because they are read with a tool in the
// hand. They defer to those who know the product and the place, name no amounts,
// and promise nothing. What keeps dust or vapor from being breathed in is a
// respirator: at the bench a mask is tape.
package caution

import (
	"slices"
	"strings"
)

// Deferral follows whatever speaks of a product.
const Deferral = "Follow the product's label and safety data sheet, and your local rules."

// care is what is said of one kind of work.
type care struct {
	text    string
	product bool // a product is used that has a label
}

// byKind has every kind of stage. What the grounds of each are stands beside it;
// where nothing is named it is common practice at the bench, without a source.
var byKind = map[string]care{
	// HSE HSG38 Lighting at work; small parts fly when a bag or a runner is bent.
	"inspect": {"Light the work well and without glare, and look far away now and then.", false},
	// Release agents and their cleaners; CPSC Art and Craft Safety Guide (Pub. 5015).
	"wash": {"Keep release agents and cleaners off skin and eyes, with fresh air. " +
		"Nothing with paint or resin in it goes down the sink.", true},
	// HSE L26, on breaks at a screen, by analogy.
	"plan": {"Short breaks, and often: sit back, look far away, move your hands.", false},
	// NSEAD and CLEAPSS notes on cutting tools.
	"cut": {"A fresh blade, light strokes, cut away from yourself, and let a falling knife fall. " +
		"Cover small pieces as you cut them, and shield your eyes. Cap the blade after.", false},
	// CPSC 5015 and the arts-and-crafts page of Connecticut's health department: damp
	// wiping, no dry sweeping; HSE HSG53 and 282/28: a respirator that fits.
	"clean": {"Sand wet where you can, catch the dust, wipe it up wet, and do not blow or sweep it. " +
		"Wear the respirator the data sheet names, and see that it fits. Rest your hands before they hurt.", true},
	// As for cut: pegs are trimmed. Pressing parts together strains fingers.
	"dry-fit": {"Trim pegs away from yourself, with light strokes. " +
		"Do not force parts: ease the fit, and rest your fingers.", false},
	// Data sheets of cyanoacrylates and solvent cements; acrylates are listed as
	// asthma agents by registers of occupational asthma. Bonded skin is soaked.
	"assemble": {"Glue with fresh air, away from your face, and keep it off skin and eyes. " +
		"Superglue heats up on cotton or tissue; soak skin that is stuck and do not pull it; " +
		"with glue in an eye get medical help.", true},
	// As for clean, with fillers, some of them of two parts.
	"seam": {"Filler and its thinner want fresh air. Sand wet where you can, catch the dust, wipe it up wet, " +
		"and do not blow or sweep it. Wear the respirator the data sheet names, and see that it fits.", true},
	// HSE HSG140, HSG178, HSG258; OSHA 29 CFR 1910.107; NFPA 33. Particle filters stop
	// no vapor: HSE HSG53, 42 CFR 84. Two-pack paints: HSE RR1199.
	"prime": {spray, true},
	"paint": {spray, true},
	// As for paint by brush; wire and etched metal: NSEAD and CLEAPSS.
	"detail": {"Shield your eyes when you cut wire or etched metal, and cut away from yourself. " +
		"Paint and glue with fresh air, and put the lids back on.", true},
	"gloss": {spray, true},
	// Setting solutions are mild acids or solvents, by their data sheets; knives as above.
	"decal": {"Setting solutions want fresh air, off skin and away from eyes. " +
		"Cut away from yourself, and cap the blade.", true},
	// HSE HSG140: thinners by brush evaporate as well; rags heat up and burn.
	"line": {"Thinner evaporates from a brush, too: fresh air, no flame near, lids on, " +
		"and rags with solvent in a lidded metal bin.", true},
	// Pigments are fine dust (CPSC 5015); the rest as for line.
	"weather": {"Pigments are fine dust: work gently, wipe up wet, and wear the respirator the data sheet names. " +
		"Thinners want fresh air and no flame near; rags with solvent go in a lidded metal bin.", true},
	"top-coat": {spray, true},
	// Plaster and ground dust, foam and hot tools: CPSC 5015 and the products' sheets.
	"base": {"Plaster, foam and ground materials make dust: cut and sand them wet or with the dust caught, " +
		"and wear the respirator the data sheet names. Do not cut foam with a hot tool in a closed room.", true},
	// What went wrong is mended with all of the above.
	"repair": {"A repair is done in haste: take the care of the work that you do again. " +
		"Cut away from yourself, fresh air for glue, filler and paint, and catch the dust.", true},
	// HSE HSG140: what dries gives its solvent off.
	"wait": {"What dries gives off vapor: leave it where air moves, away from flames, and not where you sleep.", true},
}

const spray = "Air to the outside, away from your face; no flame, heater or spark near. " +
	"Wear the respirator for vapor that the data sheet names: one for dust does not stop vapor. " +
	"If the label speaks of isocyanates or epoxies, leave it to a licensed shop or a ventilated booth."

// byClass is what parts of a class add, for the kinds of work named.
var byClass = []struct {
	class string
	kinds []string
	text  string
}{
	// CPSC 5015 and HSE HSG53; threads of builders contradict each other on cured
	// resin, so it is treated with the more care.
	{"resin", []string{"cut", "clean", "dry-fit", "seam", "repair"},
		"Resin: saw and sand it wet, wear the respirator the data sheet names, and keep the dust out of the rooms you live in."},
	{"resin", []string{"wash", "assemble"},
		"Resin that is not cured can make you allergic for life: gloves as the data sheet names."},
	// Common practice: vapor of superglue settles white on clear parts.
	{"clear", []string{"assemble", "repair", "detail"},
		"Clear parts: the vapor of superglue clouds them and stings in the eyes; use another glue, or let air move."},
}

// For is what is said as a stage of a kind begins, with what the classes of its
// parts add ("resin", "clear"; others add nothing); "" for a kind that is none.
func For(kind string, classes ...string) string {
	c, known := byKind[kind]
	if !known {
		return ""
	}
	said := []string{c.text}
	for _, more := range byClass {
		if slices.Contains(classes, more.class) && slices.Contains(more.kinds, kind) {
			said = append(said, more.text)
			c.product = true
		}
	}
	if c.product {
		said = append(said, Deferral)
	}
	return strings.Join(said, " ")
}
