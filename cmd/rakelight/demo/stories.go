// This file is the invented story: four builds, what was done on them and what
// the builder wrote. All of it is made up for the demo.

package demo

import "rakelight/journal/entry"

// story is one invented build.
type story struct {
	id, model  string
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
finished: 2023-06-10
finish: painted
runners:
  - {letter: A, parts: "1-32", class: flat}
  - {letter: B, parts: "1-30", class: small, not-used: "7, 21"}
  - {letter: C, parts: "1-12", class: curved}
stages: [inspect, wash, cut, clean, dry-fit, assemble, seam, prime, paint, decal, weather, top-coat, repair]
---
The first kit since school: a lorry with a kitchen on its bed. Straight from the
box, with the chimney up and the serving hatch open.

## Supplies
- [x] gray primer
- [x] matt green, two jars
- [x] filler
- [x] decal softening fluid

## Order of work
- [x] check every runner
- [x] cab and bed apart until paint
- [x] kitchen body
- [x] mud on the wheels last
`,
		diary: map[string]string{
			"2023-02-04": "# The box is open\n\nThree runners, two parts not for use. Checked every part against the sheet: nothing missing, a little flash on **B12**.\n",
			"2023-03-11": "# Cutting too close\n\nI cut straight at the part and dug in twice. Next time leave a stub and trim it in a second cut.\n",
			"2023-06-10": "# Done\n\nThe seam on the chimney shows as soon as the lamp stands low. I know where to look now.\n",
		},
		work: []work{
			{stage: "inspect", evenings: 1},
			{stage: "cut", class: "flat", runners: "A", perHour: 44, evenings: 2},
			{stage: "cut", class: "small", runners: "B", perHour: 34, evenings: 2},
			{stage: "clean", class: "flat", runners: "A", perHour: 17, evenings: 4},
			{stage: "clean", class: "small", runners: "B", perHour: 10, evenings: 5},
			{stage: "clean", class: "curved", runners: "C", perHour: 9, evenings: 2},
			{stage: "dry-fit", class: "flat", runners: "AC", perHour: 40, evenings: 2},
			{stage: "assemble", class: "flat", runners: "AC", perHour: 15, evenings: 4},
			{stage: "seam", count: 12, perHour: 5, evenings: 3},
			{stage: "prime", count: 4, perHour: 6, evenings: 1},
			{stage: "paint", count: 8, perHour: 2.6, evenings: 4},
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
finished: 2024-05-25
finish: painted
runners:
  - {letter: A, parts: "1-16", class: flat}
  - {letter: B, parts: "1-26", class: small}
  - {letter: C, parts: "1-18", class: curved}
  - {letter: D, parts: "1-5", class: clear}
stages: [inspect, wash, cut, clean, dry-fit, assemble, seam, prime, paint, decal, line, weather, top-coat]
---
A high-winged mail carrier on two floats. Small parts, many of them round. The
aim is straight floats and clear windows.

## Supplies
- [x] yellow and dark blue
- [x] masking tape, 1 mm
- [x] fishing line for the rigging

## Order of work
- [x] floats first, then the wing
- [x] windows after the top coat
`,
		diary: map[string]string{
			"2024-02-10": "# Two cuts\n\nFirst a stub, then a second cut. Hardly a pale mark left. Slower to the hand, but the parts are done when they are done.\n",
			"2024-03-30": "# The clock\n\nThe bench camera says eight when the radio says two minutes past seven: it is *58 minutes fast*. Noted in the journal's settings, so the photos sit where they belong.\n",
			"2024-05-25": "# Floats in line\n\nBoth floats touch the glass. The yellow has a little bleed under the tape at the tail.\n",
		},
		work: []work{
			{stage: "inspect", evenings: 1},
			{stage: "cut", class: "flat", runners: "A", perHour: 44, evenings: 1},
			{stage: "cut", class: "small", runners: "B", perHour: 34, evenings: 2},
			{stage: "clean", class: "flat", runners: "A", perHour: 17, evenings: 3, tools: []string{"Blade"}},
			{stage: "clean", class: "small", runners: "B", perHour: 10, evenings: 4, tools: []string{"Blade"}},
			{stage: "clean", class: "curved", runners: "C", perHour: 9, evenings: 4,
				tools: []string{"Fine sanding sponge", "Blade"}},
			{stage: "dry-fit", class: "flat", runners: "AC", perHour: 40, evenings: 1},
			{stage: "assemble", class: "flat", runners: "AC", perHour: 15, evenings: 3},
			{stage: "seam", count: 14, perHour: 5, evenings: 3},
			{stage: "prime", count: 4, perHour: 6, evenings: 1},
			{stage: "paint", count: 9, perHour: 2.6, evenings: 4},
			{stage: "decal", count: 18, perHour: 11, evenings: 2},
			{stage: "line", evenings: 1},
			{stage: "top-coat", count: 2, perHour: 4, evenings: 1, last: true},
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
finished: 2025-06-21
finish: painted
runners:
  - {letter: A, parts: "1-28", class: flat}
  - {letter: B, parts: "1-34", class: small, not-used: "3"}
  - {letter: C, parts: "1-16", class: curved}
  - {letter: D, parts: "1-8", class: clear}
stages: [inspect, wash, plan, cut, clean, dry-fit, assemble, seam, prime, paint, detail, decal, line, weather, top-coat]
---
A harbor pilot boat, black hull, white wheelhouse, an orange stripe. Hull,
wheelhouse and mast are painted apart.

## Supplies
- [x] satin black
- [x] orange, a small jar
- [x] 0.3 mm wire for the rails
- [x] mask for the windows

## Order of work
- [x] hull seam before anything else
- [x] wheelhouse inside, then glass
- [x] rails and mast
- [x] fenders last
`,
		diary: map[string]string{
			"2025-01-11": "# Plan on one page\n\nThree sub-assemblies: hull, wheelhouse, mast. The wheelhouse stays loose until the glass is in.\n\n- pegs of the mast cut off, align by eye\n- A12 and A13 cut together with their gate\n",
			"2025-03-08": "# The hull seam\n\nFiller, sand, primer, look, and once more. Under the low lamp there is nothing left to feel with the nail.\n",
			"2025-06-21": "# On the shelf\n\nThe stripe came out crisp. Next time thinner rails.\n",
		},
		work: []work{
			{stage: "inspect", evenings: 1},
			{stage: "plan", evenings: 1},
			{stage: "cut", class: "flat", runners: "A", perHour: 44, evenings: 2},
			{stage: "cut", class: "small", runners: "B", perHour: 34, evenings: 2},
			{stage: "clean", class: "flat", runners: "A", perHour: 17, evenings: 4,
				tools: []string{"Glass file", "Blade"}},
			{stage: "clean", class: "small", runners: "B", perHour: 10, evenings: 5,
				tools: []string{"Glass file", "Blade"}},
			{stage: "clean", class: "curved", runners: "C", perHour: 9, evenings: 3,
				tools: []string{"Blade", "Glass file"}},
			{stage: "dry-fit", class: "flat", runners: "AC", perHour: 40, evenings: 2},
			{stage: "assemble", class: "flat", runners: "AC", perHour: 15, evenings: 4},
			{stage: "seam", count: 15, perHour: 5, evenings: 4},
			{stage: "prime", count: 5, perHour: 6, evenings: 1},
			{stage: "paint", count: 10, perHour: 2.6, evenings: 4},
			{stage: "detail", count: 22, perHour: 9, evenings: 2},
			{stage: "decal", count: 12, perHour: 11, evenings: 1},
			{stage: "weather", evenings: 1},
			{stage: "top-coat", count: 3, perHour: 4, evenings: 1, last: true},
		},
	},
	{
		id: "lightship", model: "lightship", seed: 4, first: "2026-03-07", speed: 1.5, skill: 0.88, phone: true,
		cards: true,
		build: `
---
title: Lightship in a swell
scale: 1/350
started: 2026-03-07
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
  - {id: clean, kind: clean, title: Clean up}
  - {id: dry-fit, kind: dry-fit, title: Dry fit}
  - {id: assemble, kind: assemble, title: Assemble}
  - {id: seam, kind: seam, title: Hull seam}
  - {id: prime, kind: prime, title: Prime}
  - {id: paint, kind: paint, title: Paint}
  - {id: weather, kind: weather, title: Rust and salt}
  - {id: base, kind: base, title: The sea}
totals: {seam: 12, prime: 6, paint: 10}
---
A red lightship riding a long swell, and the tender that brings the relief crew
alongside. Two kits, one base. It should stand at a show next spring.

## Supplies
- [x] signal red
- [x] clear gel for the water
- [ ] 0.1 mm wire for the stays (ordered 2026-11-16; cost 3.20)
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
			"2026-05-09": "# Put aside\n\nNo wire thin enough in the house. The lantern tower stays loose until it comes.\n",
			"2026-11-20": "# The tender begins\n\nTwelve parts before nine o'clock, with a break for tea.\n",
		},
		work: []work{
			{stage: "inspect", evenings: 1},
			{stage: "plan", evenings: 1},
			{stage: "cut", class: "flat", kit: 1, runners: "ABCD", perHour: 44, evenings: 2},
			{stage: "cut", class: "small", kit: 1, runners: "EFGHI", perHour: 34, evenings: 2},
			{stage: "clean", class: "flat", kit: 1, runners: "ABCD", perHour: 17, evenings: 4},
			{stage: "clean", class: "small", kit: 1, runners: "EFGHI", perHour: 10, evenings: 5},
			{pause: 112, why: "no thin wire", next: "tower, 1/D3 to D7", waiting: "0.1 mm wire"},
			{stage: "dry-fit", class: "flat", kit: 1, runners: "ABCD", perHour: 40, evenings: 1},
			{stage: "assemble", class: "flat", kit: 1, runners: "ABCD", perHour: 15, evenings: 3},
			{stage: "seam", kit: 1, count: 8, again: 2, perHour: 5, evenings: 2, problem: true},
			{stage: "prime", kit: 1, count: 3, perHour: 6, evenings: 1, trial: "clear gel"},
			{stage: "paint", kit: 1, count: 4, perHour: 2.6, evenings: 2, open: true},
			{stage: "cut", class: "small", kit: 2, runners: "ABCD", perHour: 34, evenings: 1},
		},
	},
}
