// This file is the invented story: five builds, what was done on them and what
// the builder wrote. All of it is made up for the demo.

package demo

import "rakelight/journal/entry"

// story is one invented build.
type story struct {
	id, model  string
	second     string // model of its second kit
	seed       uint64
	first      string  // first day at the bench
	speed      float64 // against the first build, like for like
	skill      float64 // 0 to 1, what the pictures show
	phone      bool    // photographed with the telephone, not the bench camera
	cards      bool    // kept with bench cards alone
	sheet      string  // mark of its sheet of cards, once a ruler was laid on it; "" = never
	build      string  // build.md
	diary      map[string]string
	work       []work
	remembered []entry.Worked
}

// forever is a pause that has not ended, in days.
const forever = 10_000

// work is a run of evenings on one stage, or a pause.
type work struct {
	stage, class string
	scene        string // what the pictures show, where it is not the stage's id
	view         string
	kit          int
	runners      string  // letters whose parts are worked on
	count        int     // bare count, where parts are not named
	perHour      float64 // the first build's rate; 0 = no sensible count
	evenings     int
	open         bool     // not finished: no picture of after
	last         bool     // ends the build: the finished views follow
	problem      bool     // by card: something went wrong on the first evening
	trial        string   // by card: what is on trial from the first evening
	tools        []string // named in the sessions, one an evening, round and round
	again        int      // by card: so many are said twice an evening, in place of count at once
	quiet        bool     // nothing is photographed
	glimpse      float64  // share of the work that a picture in the midst of it shows; 0 = there is none
	from         string   // no earlier than this day
	clock        string   // begins at this time of day and takes so many minutes
	minutes      int

	pause              int // days
	why, next, waiting string
}

var stories = []story{
	{
		id: "lorry", model: "lorry", seed: 1, first: "2023-02-04", speed: 1, skill: 0.12,
		build: `
---
title: Field-kitchen lorry
scale: 1/35
started: 2023-02-04
finished: 2023-06-29
finish: painted
runners:
  - {letter: A, parts: "1-32", class: flat}
  - {letter: B, parts: "1-30", class: small, not-used: "7, 21"}
  - {letter: C, parts: "1-12", class: curved}
  - {letter: D, parts: "1-6", class: clear}
stages: [inspect, wash, cut, clean, dry-fit, assemble, seam, prime, paint, gloss, decal, weather, top-coat, repair]
---
The first kit since school: a green lorry with a kitchen on its bed, sand above.
Straight from the box, with the chimney up and the serving hatch open.

## Supplies
- [x] gray primer
- [x] green, two jars, and one of sand
- [x] filler
- [x] gloss and matte varnish
- [x] decal softening fluid
- [x] masking tape for the windows

## Order of work
- [x] check every runner
- [x] cab and bed apart until paint
- [x] kitchen body
- [x] dust on the wheels last
`,
		diary: map[string]string{
			"2023-02-04": "# The box is open\n\nThree green runners and a small clear one, two parts not for use. Checked every part against the sheet: nothing missing, a little flash on **B12**.\n",
			"2023-02-21": "# Cutting too close\n\nI cut straight at the part and dug in twice. Next time leave a stub and trim it in a second cut.\n",
			"2023-05-18": "# Primer tells\n\nUnder gray primer four joins that I took for closed are open again. Filler on Tuesday, then primer once more.\n",
			"2023-05-23": "# Once more\n\nFour joins filled, sanded with P400 and then P600. Before, I had gone on to paint with my fingers crossed.\n",
			"2023-06-10": "# Gloss\n\nThe decals go on a gloss coat: on rough paint there is air under the film, and it shines like silver.\n",
			"2023-06-29": "# Done\n\nMatte coat on and the masks off, the sheen is even. The seam on the chimney shows as soon as the lamp stands low. I know where to look now.\n",
			"2023-07-15": "# At the show\n\nThe lorry stood on the club's table among forty others. A judge found the seam on the chimney at once, and liked the dust on the wheels.\n",
		},
		work: []work{
			{stage: "inspect", evenings: 1},
			{stage: "wash", evenings: 1, quiet: true},
			{stage: "cut", class: "flat", runners: "A", perHour: 44, evenings: 2},
			{stage: "cut", class: "small", runners: "B", perHour: 34, evenings: 2},
			{stage: "cut", runners: "CD", perHour: 36, evenings: 1, quiet: true},
			{stage: "clean", class: "flat", runners: "A", perHour: 17, evenings: 4},
			{stage: "clean", class: "small", runners: "B", perHour: 10, evenings: 5},
			{stage: "clean", class: "curved", runners: "C", perHour: 9, evenings: 2},
			{stage: "clean", class: "clear", runners: "D", perHour: 9, evenings: 1, quiet: true},
			{stage: "dry-fit", class: "flat", runners: "AC", perHour: 40, evenings: 2},
			{stage: "assemble", class: "flat", runners: "AC", perHour: 15, evenings: 4},
			{stage: "assemble", class: "small", runners: "B", perHour: 14, evenings: 2, quiet: true},
			{stage: "seam", count: 12, perHour: 5, evenings: 3},
			{stage: "assemble", class: "clear", runners: "D", perHour: 8, evenings: 1, quiet: true},
			{stage: "prime", count: 4, perHour: 6, evenings: 1},
			{stage: "seam", count: 4, perHour: 5, evenings: 1, quiet: true},
			{stage: "prime", count: 2, perHour: 6, evenings: 1, quiet: true},
			{stage: "paint", count: 8, perHour: 2.6, evenings: 4},
			{stage: "gloss", count: 2, perHour: 4, evenings: 1, quiet: true},
			{stage: "decal", count: 14, perHour: 11, evenings: 2},
			{stage: "weather", evenings: 2},
			{stage: "top-coat", count: 2, perHour: 4, evenings: 1, last: true},
		},
		remembered: []entry.Worked{{
			Build: "lorry", Stage: "repair", Date: "2023-06", Minutes: 40,
			For: "assemble", Note: "about 40 min, glued the mirror back on, June 2023",
		}},
	},
	{
		id: "seaplane", model: "seaplane", seed: 2, first: "2024-01-20", speed: 1.14, skill: 0.38,
		build: `
---
title: Mail seaplane
scale: 1/72
started: 2024-01-20
finished: 2024-06-27
finish: painted
runners:
  - {letter: A, parts: "1-16", class: flat}
  - {letter: B, parts: "1-26", class: small}
  - {letter: C, parts: "1-18", class: curved}
  - {letter: D, parts: "1-5", class: clear}
stages: [inspect, wash, cut, clean, dry-fit, assemble, seam, prime, paint, gloss, decal, line, top-coat]
---
A high-winged mail carrier on two floats, cream over dark blue, the tail orange.
Small parts, many of them round. The aim is straight floats and clear windows.

## Supplies
- [x] cream, dark blue and a little orange
- [x] gloss and satin varnish
- [x] masking tape, 1 mm
- [x] fishing line for the rigging

## Order of work
- [x] floats first, then the wing
- [x] windows in and masked before the primer
- [x] masks off after the top coat
`,
		diary: map[string]string{
			"2024-01-26": "# Two cuts\n\nFirst a stub, then a second cut. Hardly a pale mark left. Slower to the hand, but what is done stays done.\n",
			"2024-04-09": "# The clock\n\nThe bench camera says eight when the radio says two minutes past seven: it is *58 minutes fast*. Noted in the journal's settings, so the photos sit where they belong.\n",
			"2024-05-04": "# Windows in\n\nAll five windows are glued with white glue, which leaves no fog, and masked. The tape stays on until the last coat.\n",
			"2024-05-28": "# Tape off the tail\n\nThe orange crept under the tape at the tail. Next time seal the edge with the cream that is below it, and only then spray the orange.\n",
			"2024-06-11": "# Gloss, at last\n\nThe new jar came. One gloss coat over all, and the decals have something smooth to lie on.\n",
			"2024-06-27": "# Floats in line\n\nTop coat on and the masks off: the windows are clear. Both floats touch the glass. The orange has a little bleed at the tail.\n",
			"2024-07-13": "# At the show\n\nBrought the seaplane to the summer show, floats on a sheet of glass. The windows were praised. Somebody asked about the tail, and I told the truth.\n",
		},
		work: []work{
			{stage: "inspect", evenings: 1},
			{stage: "wash", evenings: 1, quiet: true},
			{stage: "cut", class: "flat", runners: "A", perHour: 44, evenings: 1},
			{stage: "cut", class: "small", runners: "B", perHour: 34, evenings: 2},
			{stage: "cut", runners: "CD", perHour: 34, evenings: 1, quiet: true},
			{stage: "clean", class: "flat", runners: "A", perHour: 17, evenings: 3, tools: []string{"Blade"}},
			{stage: "clean", class: "small", runners: "B", perHour: 10, evenings: 4, tools: []string{"Blade"}},
			{stage: "clean", class: "curved", runners: "C", perHour: 9, evenings: 4,
				tools: []string{"Fine sanding sponge", "Blade"}},
			{stage: "clean", class: "clear", runners: "D", perHour: 9, evenings: 1, quiet: true},
			{stage: "dry-fit", class: "flat", runners: "AC", perHour: 40, evenings: 1},
			{stage: "assemble", class: "flat", runners: "AC", perHour: 15, evenings: 3},
			{stage: "assemble", class: "small", runners: "B", perHour: 14, evenings: 2, quiet: true},
			{stage: "seam", count: 14, perHour: 5, evenings: 3},
			{stage: "assemble", class: "clear", runners: "D", perHour: 8, evenings: 1, quiet: true},
			{stage: "prime", count: 4, perHour: 6, evenings: 1},
			{stage: "seam", count: 3, perHour: 5, evenings: 1, quiet: true},
			{stage: "prime", count: 2, perHour: 6, evenings: 1, quiet: true},
			{stage: "paint", count: 9, perHour: 2.6, evenings: 4},
			{pause: 9, why: "the gloss varnish had dried up in its jar", next: "gloss over the floats, then the decals",
				waiting: "a new jar of gloss varnish"},
			{stage: "gloss", count: 2, perHour: 4, evenings: 1, quiet: true},
			{stage: "decal", count: 18, perHour: 11, evenings: 2},
			{stage: "line", evenings: 1},
			{stage: "top-coat", count: 2, perHour: 4, evenings: 1, last: true},
		},
	},
	{
		id: "second-lorry", model: "lorry", seed: 5, first: "2024-09-07", speed: 1.2, skill: 0.5,
		build: `
---
title: Second lorry
scale: 1/35
started: 2024-09-07
finish: painted
runners:
  - {letter: A, parts: "1-32", class: flat}
  - {letter: B, parts: "1-30", class: small, not-used: "7, 21"}
  - {letter: C, parts: "1-12", class: curved}
  - {letter: D, parts: "1-6", class: clear}
stages: [inspect, wash, cut, clean, dry-fit, assemble, seam, prime, paint, gloss, decal, weather, top-coat]
---
The field-kitchen lorry's kit once more, green and sand again, to close the
chimney seam that the judge found. There is no hurry: it has no show to go to.

## Supplies
- [x] green, what is left of it
- [ ] 0.25 mm sheet for the chimney

## Order of work
- [x] runner A off and clean
- [ ] chimney first, before anything else is glued
- [ ] kitchen body and cab as last time
`,
		diary: map[string]string{
			"2024-09-07": "# The same box again\n\nI know this kit now. Everything is there, but **B14**, the foot of the chimney, came out of the mold half filled. I have written for another one.\n",
		},
		work: []work{
			{stage: "inspect", evenings: 1},
			{stage: "wash", evenings: 1, quiet: true},
			{stage: "cut", class: "flat", runners: "A", perHour: 44, evenings: 1, open: true},
			{stage: "clean", class: "flat", runners: "A", perHour: 17, evenings: 2, open: true, glimpse: 0.5},
			{stage: "cut", class: "small", runners: "B", perHour: 34, evenings: 1, quiet: true},
			{pause: forever, why: "the foot of the chimney came half filled, and then the pilot boat's kit arrived",
				next:    "build up B14 from sheet, then clean runner B",
				waiting: "a good B14, or an evening to make one"},
		},
	},
	{
		id: "pilot-boat", model: "pilot-boat", seed: 3, first: "2025-01-11", speed: 1.38, skill: 0.66, phone: true,
		sheet: "K7QF",
		build: `
---
title: Pilot boat
scale: 1/48
started: 2025-01-11
finished: 2025-06-23
show-class: Ships and boats
finish: painted
runners:
  - {letter: A, parts: "1-28", class: flat}
  - {letter: B, parts: "1-34", class: small, not-used: "3"}
  - {letter: C, parts: "1-16", class: curved}
  - {letter: D, parts: "1-8", class: clear}
stages: [inspect, wash, plan, cut, clean, dry-fit, assemble, seam, prime, paint, detail, gloss, decal,
  weather, top-coat]
---
A harbor pilot boat: dark green hull, red below the water, cream wheelhouse, an
orange funnel. Hull, wheelhouse and mast are painted apart.

## Supplies
- [x] dark green, red and cream
- [x] orange, a small jar
- [x] gloss and satin varnish
- [x] 0.3 mm wire for the rails
- [x] mask for the windows

## Order of work
- [x] hull seam before anything else is glued to it
- [x] wheelhouse inside by brush, then the glass and its masks
- [x] rails and mast
- [x] fenders last
- [x] masks off after the top coat
`,
		diary: map[string]string{
			"2025-01-11": "# Runner check\n\nFour runners, one part not for use. **D6** has a scratch across the pane; I have written for another one.\n",
			"2025-01-15": "# Plan on one page\n\nThree sub-assemblies: hull, wheelhouse, mast. The wheelhouse is painted apart and rests on the deck until then.\n\n- mast pegs cut off; align by eye\n- A12 and A13 share a gate: cut off as one\n",
			"2025-04-27": "# The hull seam\n\nFiller, P400, P600, and look. Under the low lamp there is nothing left to feel with the nail.\n",
			"2025-05-15": "# And once more\n\nThe primer showed three places that the nail did not feel. Filled, P600, P1000 wet. Tuesday the second primer.\n",
			"2025-06-13": "# Gloss before decals\n\nThe cream and the green are dry. A gloss coat tonight, the decals on Sunday, the satin coat last.\n",
			"2025-06-23": "# On the shelf\n\nSatin coat on, masks off, and the line between green and red is crisp. Next time thinner rails.\n",
			"2025-07-12": "# At the show\n\nThe pilot boat went to the harbor show. Nobody found the hull seam, and two people tried. The rails are too thick, they said, and they are.\n",
		},
		work: []work{
			{stage: "inspect", evenings: 1},
			{stage: "plan", evenings: 1},
			{stage: "wash", evenings: 1, quiet: true},
			{stage: "cut", class: "flat", runners: "A", perHour: 44, evenings: 2},
			{stage: "cut", class: "small", runners: "B", perHour: 34, evenings: 2},
			{stage: "cut", runners: "CD", perHour: 34, evenings: 1, quiet: true},
			{stage: "clean", class: "flat", runners: "A", perHour: 17, evenings: 4,
				tools: []string{"Glass file", "Blade"}},
			{stage: "clean", class: "small", runners: "B", perHour: 10, evenings: 5,
				tools: []string{"Glass file", "Blade"}},
			{stage: "clean", class: "curved", runners: "C", perHour: 9, evenings: 3,
				tools: []string{"Blade", "Glass file"}},
			{stage: "clean", class: "clear", runners: "D", perHour: 9, evenings: 1, quiet: true},
			{stage: "dry-fit", class: "flat", runners: "AC", perHour: 40, evenings: 2},
			{stage: "assemble", class: "flat", runners: "AC", perHour: 15, evenings: 4},
			{stage: "seam", count: 15, perHour: 5, evenings: 4},
			{stage: "assemble", class: "small", runners: "B", perHour: 14, evenings: 2, quiet: true},
			{stage: "assemble", class: "clear", runners: "D", perHour: 8, evenings: 1, quiet: true},
			{stage: "prime", count: 5, perHour: 6, evenings: 1},
			{stage: "seam", count: 3, perHour: 5, evenings: 1, quiet: true},
			{stage: "prime", count: 2, perHour: 6, evenings: 1, quiet: true},
			{stage: "paint", count: 10, perHour: 2.6, evenings: 4},
			{stage: "detail", count: 22, perHour: 9, evenings: 2},
			{stage: "gloss", count: 3, perHour: 4, evenings: 1, quiet: true},
			{stage: "decal", count: 12, perHour: 11, evenings: 1},
			{stage: "weather", evenings: 1},
			{stage: "top-coat", count: 3, perHour: 4, evenings: 1, last: true},
		},
	},
	{
		id: "lightship", model: "lightship", second: "tender", seed: 4, first: "2026-03-07", speed: 1.5, skill: 0.88,
		phone: true, cards: true,
		build: `
---
title: Lightship in a swell
scale: 1/350
started: 2026-03-07
ready-by: 2027-04-24
show-class: Dioramas on water
finish: painted
kits:
  - title: Lightship
    scale: 1/350
    runners:
      - {letter: A, parts: "1-9", class: flat}
      - {letter: B, parts: "1-9", class: flat}
      - {letter: C, parts: "1-9", class: flat}
      - {letter: D, parts: "1-9", class: flat}
      - {letter: E, parts: "1-8", class: small}
      - {letter: F, parts: "1-8", class: small}
      - {letter: G, parts: "1-8", class: small}
      - {letter: H, parts: "1-8", class: small}
      - {letter: I, parts: "1-8", class: small}
  - title: Relief tender
    scale: 1/350
    runners:
      - {letter: A, parts: "1-6", class: small}
      - {letter: B, parts: "1-6", class: small}
      - {letter: C, parts: "1-6", class: small}
      - {letter: D, parts: "1-6", class: small}
stages:
  - {id: inspect, kind: inspect, title: Check the runners}
  - {id: plan, kind: plan, title: Plan the scene}
  - {id: cut, kind: cut, title: Cut off}
  - {id: clean, kind: clean, title: Cleanup}
  - {id: dry-fit, kind: dry-fit, title: Dry fit}
  - {id: assemble, kind: assemble, title: Assemble}
  - {id: seam, kind: seam, title: Hull seams}
  - {id: prime, kind: prime, title: Prime}
  - {id: paint, kind: paint, title: Paint}
  - {id: weather, kind: weather, title: Rust and salt}
  - {id: base, kind: base, title: The sea}
totals: {seam: 14, prime: 8, paint: 12}
---
A red lightship riding a long swell, and the blue tender that brings the relief
crew alongside. Two kits, one base. There are no clear parts in either: panes are
drops of clear gel. I want it on a show table next spring.

## Supplies
- [x] signal red, white
- [x] clear gel for the water
- [x] 0.1 mm wire for the stays
- [ ] dark blue for the tender (ordered 2026-11-16; cost 3.20)
- [ ] plinth, oak, 12 × 30 cm

## Order of work
- [x] lightship hull and seam
- [x] prime the lightship
- [ ] tender, up to primer
- [ ] sea base, carve the swell
- [ ] both ships on the water
`,
		diary: map[string]string{
			"2026-03-07": "# Two boxes, one sea\n\nThe tender is tiny: its wheelhouse is smaller than a match head. It waits until the lightship has its primer.\n",
			"2026-04-25": "# Put aside\n\nDry fit done, and no wire thin enough in the house. The lantern tower stays loose until it comes.\n",
			"2026-08-18": "# The wire came\n\nThe tower is glued, the stays are in. Sixteen weeks for one reel of wire.\n",
			"2026-09-26": "# Red\n\nSecond coat of red on the hull. The tape along the waterline stays on.\n",
			"2026-11-16": `# Back at the bench

Six weeks away, and the card still lay where I had left it. It said *cut off the tender*, so I did.

![The tender's four runners before the first cut](photo:cut/before)

The whole ship is 24 parts, most of them smaller than a grain of rice. I cut over the tray, one runner at a time, and
left a stub on each. When I counted them into the box there were 24.

![All 24 parts in one place](photo:cut/after)

The dark blue is ordered. Until it comes there is white to lay on the lightship.
`,
			"2026-11-18": `# White

One coat of white on the deckhouses, with the big brush put away and the small one out.

![The deckhouses after one coat](photo:paint)

It covers badly over gray primer. On the pilot boat I would have gone over it at once and drowned the edges; this time
it dries until next week and gets a second coat then.
`,
			"2026-11-20": `# The tender begins

Runner A and runner B, twelve parts, clean before half past eight, with a break for tea between them.

![Runner A under the low lamp](photo:clean)

The low lamp finds what I miss: two gates looked flat from above and threw a shadow. I had sanded where I could see, and
not where it stood proud.
`,
			"2026-11-21": `# Runner C

Six more before lunch, by daylight. P1000 on a stick reaches where the sponge does not.

Only runner D is left. Then the hull halves can go together, and for the first time both ships can stand side by side.
`,
		},
		work: []work{
			{stage: "inspect", evenings: 1},
			{stage: "plan", evenings: 1},
			{stage: "cut", class: "flat", kit: 1, runners: "ABCD", perHour: 44, evenings: 2},
			{stage: "cut", class: "small", kit: 1, runners: "EFGHI", perHour: 34, evenings: 2},
			{stage: "clean", class: "flat", kit: 1, runners: "ABCD", perHour: 17, evenings: 4},
			{stage: "clean", class: "small", kit: 1, runners: "EFGHI", perHour: 10, evenings: 5},
			{stage: "dry-fit", class: "flat", kit: 1, runners: "ABCD", perHour: 40, evenings: 1},
			{pause: 108, why: "no thin wire", next: "tower, 1/D3 to D7", waiting: "0.1 mm wire"},
			{stage: "assemble", class: "flat", kit: 1, runners: "ABCD", perHour: 15, evenings: 3},
			{stage: "seam", kit: 1, count: 8, again: 2, perHour: 5, evenings: 2, problem: true},
			{stage: "assemble", class: "small", kit: 1, runners: "EFGHI", perHour: 14, evenings: 3, quiet: true},
			{stage: "prime", kit: 1, count: 3, perHour: 6, evenings: 1, trial: "clear gel"},
			{stage: "seam", kit: 1, count: 2, perHour: 5, evenings: 1, quiet: true},
			{stage: "prime", kit: 1, count: 2, perHour: 6, evenings: 1, quiet: true},
			{stage: "paint", kit: 1, count: 4, perHour: 2.6, evenings: 2, open: true},
			{pause: 45, why: "a house full of guests", next: "cut off the tender", waiting: "the bench back"},
			{stage: "cut", class: "small", kit: 2, runners: "ABCD", from: "2026-11-16", clock: "19:20", minutes: 28,
				perHour: 34, evenings: 1},
			{stage: "paint", kit: 1, count: 1, from: "2026-11-18", clock: "19:15", minutes: 44, perHour: 2.6,
				evenings: 1, quiet: true, glimpse: 0.6},
			// Two short sessions with a break for tea between them.
			{stage: "clean", class: "small", kit: 2, runners: "A", from: "2026-11-20", clock: "19:30", minutes: 20,
				perHour: 10, evenings: 1, quiet: true, glimpse: 0.6},
			{stage: "clean", class: "small", kit: 2, runners: "B", from: "2026-11-20", clock: "20:01", minutes: 19,
				perHour: 10, evenings: 1, quiet: true},
			{stage: "clean", class: "small", kit: 2, runners: "C", from: "2026-11-21", clock: "10:20", minutes: 22,
				perHour: 10, evenings: 1, quiet: true},
		},
	},
}
