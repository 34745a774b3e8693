// This file is the rubric: twelve criteria, each scored 0 to 4 from a photo.

package journal

import "rakelight/journal/say"

// Rubric is the version of the rubric that marks are given by. Marks of
// different versions do not compare.
const Rubric = "R1"

// TopScore is the highest score; the scores are 0 to TopScore.
const TopScore = 4

// Criterion is one thing to look at. The score is that of the worst place that
// can be seen, not of the average; 1 and 3 lie between the words. Look under a
// diffuse lamp, then with the lamp low from one side, from 20 cm, without a
// magnifier. "At arm's length" is about 60 cm.
type Criterion struct {
	Number int
	Name   say.Key
	Zero   say.Key  // what the score 0 looks like
	Two    string   // 2
	Four   say.Key  // 4
	Kinds  []string // the stage kinds whose photos show it; none = only photos of the finished model do
}

// Criteria are the criteria of Rubric, by number.
var Criteria = []Criterion{
	{1, "gates and nubs", "stubs or gouges on many parts, seen at arm's length",
		"none at arm's length; a few bumps, dents or pale spots at 20 cm", "no trace in raking light",
		[]string{"cut", "clean"}},
	{2, "mold lines and flash", "lines left on main parts, fins on edges",
		"main parts clean; lines remain on small or round parts", "none found; round parts still round, no flats",
		[]string{"clean"}},
	{3, "molding flaws", "open on outer faces, seen at arm's length", "outer faces filled but faintly dished or ringed",
		"outer and easily seen inner faces true", []string{"clean", "seam"}},
	{4, "joins", "gaps, steps or filler ridges at arm's length",
		"closed; ghost line or small step in places, some detail lost",
		"gone where it should be, crisp where real, detail restored", []string{"seam", "assemble"}},
	{5, "alignment and stance", "leans, twisted, wheels or floats off line at arm's length",
		"square at arm's length; one or two small angles off",
		"level and symmetric from front, side and top; all contact points touch", []string{"dry-fit", "assemble"}},
	{6, "glue control", "beads, strings, fingerprints or fog at arm's length",
		"one or two shiny spots or a print at 20 cm", "none", []string{"assemble"}},
	{7, "surface", "runs, peel, hairs or deep scratches at arm's length",
		"even at arm's length; light grain, a few nibs, fine scratches",
		"even sheen and texture everywhere in raking light", []string{"prime", "paint", "gloss", "top-coat"}},
	{8, "color edges and detail painting", "bleeding, wobbly, missed areas at arm's length",
		"mostly straight; small bleeds or ridges", "crisp where crisp, soft where meant, small items complete",
		[]string{"paint", "detail"}},
	{9, "clear parts", "fogged, cracked, glue or paint on the glass", "clear; a small scratch, an uneven frame line",
		"clear, clean, frames straight", nil},
	{10, "markings", "crooked, torn or silvered at arm's length", "straight; some silver or film edge at 20 cm",
		"look painted on, follow the surface", []string{"decal"}},
	{11, "lining and weathering", "blotchy, out of scale, contradicts itself",
		"believable; too even, or one area disagrees", "agrees with use, gravity and scale, and from part to part",
		[]string{"line", "weather"}},
	{12, "completeness and presentation", "parts missing or broken, dust, base unfinished",
		"complete; small droops, plain but tidy base", "complete, clean, openings opened; the base supports the model",
		[]string{"base"}},
}
