// This file reads part references as builders write them. What could mean two
// things is asked about, never guessed: a part counted under a wrong name is
// wrong for good.

package plan

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"rakelight/journal/prompt"
)

// PartRef names one part: kit, runner letter, number. Count is 1 unless the
// person wrote a multiple such as A12x2.
type PartRef struct {
	Kit    int    `json:"kit,omitempty"` // 1-based; 0 in a build with one kit
	Runner string `json:"runner"`
	Number string `json:"number"`
	Count  int    `json:"count"`
}

// String writes the reference as a person would type it: "2/A12", "A12x2".
func (p PartRef) String() string {
	s := p.Runner + p.Number
	if p.Kit > 0 {
		s = strconv.Itoa(p.Kit) + "/" + s
	}
	if p.Count > 1 {
		s += "x" + strconv.Itoa(p.Count)
	}
	return s
}

// Is reports whether both name the same part, however many of it.
func (p PartRef) Is(o PartRef) bool {
	return p.Kit == o.Kit && p.Runner == o.Runner && p.Number == o.Number
}

// Key names the part, however many of it: "2/A12".
func (p PartRef) Key() string { return PartRef{p.Kit, p.Runner, p.Number, 1}.String() }

// Ranges writes references as a person would type them, those that follow each
// other as one: "A1-A12,B3".
func Ranges(refs []PartRef) string {
	var out []string
	for i := 0; i < len(refs); {
		last := i
		for last+1 < len(refs) && refs[last].precedes(refs[last+1]) {
			last++
		}
		word := refs[i].String()
		if last > i+1 {
			word += "-" + refs[last].Runner + refs[last].Number
		} else {
			last = i
		}
		out = append(out, word)
		i = last + 1
	}
	return strings.Join(out, ",")
}

// precedes reports whether the other is the next part of the same runner, each
// named once.
func (p PartRef) precedes(o PartRef) bool {
	n, err := strconv.Atoi(p.Number)
	return err == nil && p.Kit == o.Kit && p.Runner == o.Runner && p.Count <= 1 && o.Count <= 1 &&
		o.Number == strconv.Itoa(n+1)
}

var (
	bareCount = regexp.MustCompile(`^\d+$`)
	onePart   = regexp.MustCompile(`^(?:(\d+)\s*/\s*)?([A-Za-z]{1,3})[\s-]*(\d{1,3})(?:\s*[x×X]\s*(\d{1,2}))?$`)
	partRange = regexp.MustCompile(`^(?:(\d+)\s*/\s*)?([A-Za-z]{1,3})[\s-]*(\d{1,3})\s*(?:-|–|to)\s*([A-Za-z]{0,3})\s*(\d{1,3})$`)
	eitherOr  = regexp.MustCompile(`^[A-Za-z]{1,3}\s*\d+\s*/\s*[A-Za-z]{1,3}\s*\d+$`)
)

// ParseParts reads references to parts of the build ("A1-A12, B3", "2/A12x2",
// "B3+B4") or a bare count ("12"). A reference that could mean two things, an
// unknown runner or a part marked not for use is an *AskError.
func ParseParts(text string, b *Build) (refs []PartRef, count int, err error) {
	for _, item := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == '+' || r == ';' }) {
		item = strings.TrimSpace(item)
		if item == "" {
			continue
		}
		if bareCount.MatchString(item) {
			n, err := strconv.Atoi(item)
			if err != nil || n < 1 || n > maxPart {
				return nil, 0, fmt.Errorf("%s is not a count of parts", item)
			}
			count += n
			continue
		}
		found, err := parseItem(item, b)
		if err != nil {
			return nil, 0, err
		}
		for _, ref := range found {
			if slices.ContainsFunc(refs, ref.Is) {
				return nil, 0, fmt.Errorf("%s is named twice; several of one number are written %sx2", ref,
					PartRef{ref.Kit, ref.Runner, ref.Number, 1})
			}
			refs = append(refs, ref)
		}
	}
	switch {
	case len(refs) > 0 && count > 0:
		return nil, 0, &AskError{What: fmt.Sprintf("%q mixes references with a bare count", text),
			Hint: "name the runner of each part, or give one count"}
	case len(refs) == 0 && count == 0:
		return nil, 0, fmt.Errorf("%q names no part", text)
	}
	return refs, count, nil
}

func parseItem(item string, b *Build) ([]PartRef, error) {
	if eitherOr.MatchString(item) {
		return nil, &AskError{What: fmt.Sprintf("%s: left and right, or one of the two?", item),
			Hint: "write " + strings.ReplaceAll(item, "/", "+") + " for both, or the one you mean"}
	}
	if m := partRange.FindStringSubmatch(item); m != nil {
		if m[4] != "" && !strings.EqualFold(m[2], m[4]) {
			return nil, &AskError{What: fmt.Sprintf("%s runs over two runners", item),
				Hint: "write one range for each runner"}
		}
		from, _ := strconv.Atoi(m[3])
		to, _ := strconv.Atoi(m[5])
		if to < from {
			return nil, fmt.Errorf("%s runs backward", item)
		}
		return partsOf(b, m[1], strings.ToUpper(m[2]), from, to, 1, item)
	}
	m := onePart.FindStringSubmatch(item)
	if m == nil {
		return nil, fmt.Errorf("%q is not a part; write the runner's letter and the number: A12", item)
	}
	number, _ := strconv.Atoi(m[3])
	times := 1
	if m[4] != "" {
		times, _ = strconv.Atoi(m[4])
	}
	if times < 1 {
		return nil, fmt.Errorf("%s: none of a part is nothing done", item)
	}
	return partsOf(b, m[1], strings.ToUpper(m[2]), number, number, times, item)
}

// partsOf finds the runner among the build's kits, and looks that each number
// is on it.
func partsOf(b *Build, kit, letter string, from, to, times int, item string) ([]PartRef, error) {
	in, err := kitOf(b, kit, letter, item)
	if err != nil {
		return nil, err
	}
	ref := PartRef{Runner: letter, Count: times}
	if len(b.Kits) > 1 {
		ref.Kit = in + 1
	}
	var refs []PartRef
	for n := from; n <= to; n++ {
		ref.Number = strconv.Itoa(n)
		// A letter may come twice in the box: one copy to use is enough.
		on, unused, spared := false, false, false
		for _, r := range b.Kits[in].Runners {
			switch {
			case r.Letter != letter:
			case slices.Contains(r.NotUsed, ref.Number):
				unused, spared = true, spared || slices.Contains(r.Spared, ref.Number)
			case slices.Contains(r.Parts, ref.Number) || len(r.Parts) == 0 && n > 0:
				on = true
			}
		}
		unused = unused && !on
		switch {
		case unused && from != to:
			continue // a range passes over what is not for use
		case unused && spared:
			seen := prompt.Typed("rakelight runners %s seen --build %s", ref.Key(), b.ID)
			return nil, &AskError{What: fmt.Sprintf("%s is marked not for use", ref),
				Hint: "if you use it after all: " + seen}
		case unused:
			return nil, &AskError{What: fmt.Sprintf("%s is marked not for use", ref),
				Hint: "change not-used in the build's build.md if you use it after all"}
		case !on:
			return nil, &AskError{What: fmt.Sprintf("%s: runner %s has no part %s", ref, letter, ref.Number),
				Hint: "correct the number, or the runner's parts in the build's build.md"}
		}
		refs = append(refs, ref)
	}
	if len(refs) == 0 {
		return nil, &AskError{What: fmt.Sprintf("all of %s is marked not for use", item),
			Hint: "change not-used in the build's build.md if you use it after all"}
	}
	return refs, nil
}

// kitOf is the index of the kit whose runner is meant.
func kitOf(b *Build, kit, letter, item string) (int, error) {
	if kit != "" {
		n, _ := strconv.Atoi(kit)
		if n < 1 || n > len(b.Kits) {
			return 0, fmt.Errorf("%s: %s has %d kits", item, b.ID, len(b.Kits))
		}
		if !hasRunner(b.Kits[n-1], letter) {
			return 0, unknownRunner(b, letter, item)
		}
		return n - 1, nil
	}
	var having []int
	for i, k := range b.Kits {
		if hasRunner(k, letter) {
			having = append(having, i)
		}
	}
	switch len(having) {
	case 0:
		return 0, unknownRunner(b, letter, item)
	case 1:
		return having[0], nil
	}
	return 0, &AskError{What: fmt.Sprintf("%s: %d kits of %s have a runner %s", item, len(having), b.ID, letter),
		Hint: fmt.Sprintf("name the kit: %d/%s", having[0]+1, item)}
}

func hasRunner(k Kit, letter string) bool {
	return slices.ContainsFunc(k.Runners, func(r Runner) bool { return r.Letter == letter })
}

func unknownRunner(b *Build, letter, item string) error {
	var letters []string
	for _, k := range b.Kits {
		for _, r := range k.Runners {
			if !slices.Contains(letters, r.Letter) {
				letters = append(letters, r.Letter)
			}
		}
	}
	if len(letters) == 0 {
		return &AskError{What: fmt.Sprintf("%s: %s lists no runners", item, b.ID),
			Hint: "list them in its build.md, or give a bare count"}
	}
	hint := "the runners are " + strings.Join(letters, ", ")
	switch letter {
	case "I", "O":
		hint += "; a handwritten 1 or 0 is easily read as I or O"
	case "D":
		hint += "; if you mean decal " + strings.TrimLeft(item, "Dd -") +
			", decals are counted with a bare count in a decal stage"
	}
	return &AskError{What: fmt.Sprintf("%s: %s has no runner %s", item, b.ID, letter), Hint: hint}
}

// LooksLikePart reports whether the text has the form of a runner's letter or of
// references to parts, whatever the build.
func LooksLikePart(text string) bool {
	return runnerForm.MatchString(text) || onePart.MatchString(text) || partRange.MatchString(text)
}

var runnerForm = regexp.MustCompile(`^(?:\d+/)?[A-Z]{1,3}$`)
