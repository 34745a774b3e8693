// What is said to the bench book: what the runner check found, what is grouped
// with what, what has to be remembered, what was done to a part, how the hands are.

package entry

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"rakelight/journal"
)

// About is what everything said to the bench book has in common, as a person types it.
type About struct {
	Build   string // "" = that of the session that runs, else the only one that is open
	Kit     int    // 1-based, 0 = not said
	Parts   string // "A12,B3", or the name of a sub-assembly
	Sub     string // name of a sub-assembly that is there
	Text    string
	Photo   string    // one that shows it, "" = none
	Instead string    // id of the earlier record that this one corrects, "" = none
	At      time.Time // zero = now
}

// noted reads what an entry is about. A name in the place of the parts is that of a
// sub-assembly, if the build has one.
func (r About) noted(l journal.Look) (journal.Noted, *journal.Build, error) {
	var n journal.Noted
	at, err := moment(l, r.At)
	if err != nil {
		return n, nil, err
	}
	b, err := r.build(l)
	if err != nil {
		return n, nil, err
	}
	if err := kitOf(b, r.Kit); err != nil {
		return n, nil, err
	}
	n = journal.Noted{Build: b.ID, Kit: r.Kit, Text: strings.TrimSpace(r.Text), Instead: r.Instead, At: at}
	if r.Photo != "" {
		p, err := Photo(l.State, r.Photo)
		if err != nil {
			return n, nil, err
		}
		n.Photo = p.Hash
	}
	sub, parts := r.Sub, strings.TrimSpace(r.Parts)
	if _, there := l.FindSub(b.ID, parts); there && sub == "" {
		sub, parts = parts, ""
	}
	if sub != "" {
		one, there := l.FindSub(b.ID, sub)
		if !there {
			return n, nil, noSub(l, b, sub)
		}
		n.Sub = one.Sub
	}
	if parts != "" && !strings.ContainsAny(parts, digits) {
		return n, nil, noSub(l, b, parts)
	}
	n.Parts, err = named(b, parts)
	return n, b, err
}

// digits are what every part has in its reference.
const digits = "0123456789"

// build is the build that is meant.
func (r About) build(l journal.Look) (*journal.Build, error) {
	if r.Build != "" {
		return l.ResolveBuild(r.Build)
	}
	if all := l.Running(); len(all) == 1 {
		return buildOf(l, all[0].Build), nil
	}
	return theOne(l)
}

func noSub(l journal.Look, b *journal.Build, name string) error {
	no := &Refusal{Reason: NoSuchSub, Build: b.ID, Name: name}
	for _, one := range l.SubsOf(b.ID) {
		no.Known = append(no.Known, one.Sub)
	}
	return no
}

// onSomething refuses an entry that is about no part.
func onSomething(n journal.Noted) error {
	if len(n.Parts) == 0 && n.Sub == "" {
		return &Refusal{Reason: NoParts, Build: n.Build}
	}
	return nil
}

// correcting looks that what an entry corrects is there, of its kind, and was not
// corrected already.
func correcting[E any](book []E, instead string, written func(E) journal.Written) error {
	if instead == "" {
		return nil
	}
	for _, e := range book {
		switch w := written(e); {
		case w.Record != instead:
		case w.Counts():
			return nil
		default:
			return &Refusal{Reason: CorrectedAlready, Name: instead, Record: w.Replaced}
		}
	}
	return &Refusal{Reason: NotOfKind, Name: instead}
}

// wordOf looks that a word is one of those that are known.
func wordOf(said string, known []string) error {
	if slices.Contains(known, said) {
		return nil
	}
	return &Refusal{Reason: UnknownWord, Name: said, Known: known}
}

// CheckParts is what the runner check found. Parts are references, or letters
// of whole runners: "A,B", "2/A".
type CheckParts struct {
	About
	State string // one of journal.CheckStates
}

// Plan takes whole runners for their parts. Parts that are not for use may be named:
// they can be found after all.
func (r CheckParts) Plan(l journal.Look) (Plan, error) {
	if err := wordOf(r.State, journal.CheckStates); err != nil {
		return Plan{}, err
	}
	about := r.About
	about.Parts = ""
	n, b, err := about.noted(l)
	if err != nil {
		return Plan{}, err
	}
	if n.Sub != "" {
		return Plan{}, &Refusal{Reason: NoReferences, Name: n.Sub}
	}
	if strings.TrimSpace(r.Parts) == "" {
		return Plan{}, &Refusal{Reason: NoParts, Build: b.ID}
	}
	stays := map[string]journal.Found{}
	if r.State == "seen" {
		stays = foundOtherwise(l, b.ID)
	}
	var left []journal.Found
	if n.Parts, left, err = onRunners(b, r.Parts, stays); err != nil {
		return Plan{}, err
	}
	if len(n.Parts) == 0 {
		return Plan{}, &Refusal{Reason: StaysAsFound, Build: b.ID, Name: journal.Lacks(left)}
	}
	err = correcting(l.Checks, r.Instead, func(c journal.Checked) journal.Written { return c.Written })
	if err != nil {
		return Plan{}, err
	}
	plan, _ := just(journal.CheckedBody{Noted: n, State: r.State})
	if len(left) > 0 {
		plan.Remarks = append(plan.Remarks, Remark{Matter: StayAsFound, Build: b.ID, Name: journal.Lacks(left)})
	}
	return plan, nil
}

// foundOtherwise is what the runner check found that is not simply there, by the part.
// Who says that a whole runner was seen does not mean those: each is named to say so.
func foundOtherwise(l journal.Look, build string) map[string]journal.Found {
	stays := map[string]journal.Found{}
	for _, f := range slices.Concat(l.Lacking(build), l.FoundOf(build)) {
		if f.State != "seen" {
			stays[f.Part.Key()] = f
		}
	}
	return stays
}

var wholeRunner = regexp.MustCompile(`^(?:(\d+)/)?([A-Za-z]{1,3})$`)

// onRunners reads references, and letters of whole runners, which leave out the parts
// that stay as they were found. What the runner check found not to be for use can be
// named again.
func onRunners(b *journal.Build, text string, stays map[string]journal.Found) (refs []journal.PartRef,
	left []journal.Found, err error) {
	all := *b
	all.Kits = slices.Clone(b.Kits)
	for i, k := range all.Kits {
		all.Kits[i].Runners = slices.Clone(k.Runners)
		for j := range all.Kits[i].Runners {
			r := &all.Kits[i].Runners[j]
			r.NotUsed = slices.DeleteFunc(slices.Clone(r.NotUsed),
				func(n string) bool { return slices.Contains(r.Spared, n) })
		}
	}
	var single []string
	for _, item := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == '+' || r == ';' }) {
		m := wholeRunner.FindStringSubmatch(strings.TrimSpace(item))
		if m == nil {
			single = append(single, item)
			continue
		}
		whole := wholeOf(&all, m[1], strings.ToUpper(m[2]))
		if len(whole) == 0 {
			return nil, nil, &Refusal{Reason: NoSuchRunner, Build: b.ID, Name: strings.TrimSpace(item)}
		}
		for _, p := range whole {
			if found, as := stays[p.Key()]; as {
				left = append(left, found)
			} else {
				refs = append(refs, p)
			}
		}
	}
	if len(single) == 0 {
		return refs, left, nil
	}
	more, err := named(&all, strings.Join(single, ","))
	for _, p := range more {
		if !slices.ContainsFunc(refs, p.Is) {
			refs = append(refs, p)
		}
	}
	return refs, left, err
}

// wholeOf are the parts for use of the runners with a letter, in a kit or in all.
func wholeOf(b *journal.Build, kit, letter string) []journal.PartRef {
	var refs []journal.PartRef
	for i, k := range b.Kits {
		if kit != "" && kit != strconv.Itoa(i+1) {
			continue
		}
		for _, r := range k.Runners {
			for _, n := range r.Parts {
				p := journal.PartRef{Runner: letter, Number: n, Count: 1}
				if len(b.Kits) > 1 {
					p.Kit = i + 1
				}
				if r.Letter == letter && !slices.Contains(r.NotUsed, n) && !slices.ContainsFunc(refs, p.Is) {
					refs = append(refs, p)
				}
			}
		}
	}
	return refs
}

// SubAssembly names a group of parts that are worked as one, changes what it is made
// of, or says that it is none any more. Sub is not used: Name is the name.
type SubAssembly struct {
	About
	Name string
	Over bool
}

// Plan keeps the parts of one that is over; any other says all that it is made of.
func (r SubAssembly) Plan(l journal.Look) (Plan, error) {
	name := plain(r.Name)
	if name == "" {
		return Plan{}, &Refusal{Reason: NoName}
	}
	about := r.About
	about.Sub = ""
	n, b, err := about.noted(l)
	if err != nil {
		return Plan{}, err
	}
	part := strings.ContainsAny(name, digits) && journal.LooksLikePart(strings.ToUpper(name))
	if part || len(wholeOf(b, "", strings.ToUpper(name))) > 0 {
		return Plan{}, &Refusal{Reason: LikeAPart, Name: name}
	}
	was, there := l.FindSub(b.ID, name)
	switch {
	case n.Sub != "":
		return Plan{}, &Refusal{Reason: NoReferences, Name: n.Sub}
	case r.Over && !there && r.Instead == "":
		return Plan{}, noSub(l, b, name)
	case r.Over && len(n.Parts) == 0:
		n.Parts = was.Parts
	case len(n.Parts) == 0:
		return Plan{}, &Refusal{Reason: NoParts, Build: b.ID}
	}
	if n.Sub = name; there {
		n.Sub = was.Sub // as it was written first
	}
	err = correcting(l.Subs, r.Instead, func(s journal.Sub) journal.Written { return s.Written })
	if err != nil {
		return Plan{}, err
	}
	plan, _ := just(journal.SubBody{Noted: n, Over: r.Over})
	for _, h := range l.HoldsOf(b.ID) {
		if r.Over && journal.SubKey(h.Sub) == journal.SubKey(name) {
			plan.Remarks = append(plan.Remarks, Remark{Matter: HeldStill, Hold: &h})
		}
	}
	return plan, nil
}

// Hold is what has to be remembered until it ends.
type Hold struct {
	About
	Is   string        // one of journal.HoldWhats
	Of   string        // what cures, "" = not said
	Long time.Duration // that it takes to cure, 0 = as journal.toml says
}

// Plan refuses what is held so already.
func (r Hold) Plan(l journal.Look) (Plan, error) {
	if err := wordOf(r.Is, journal.HoldWhats); err != nil {
		return Plan{}, err
	}
	n, b, err := r.noted(l)
	if err == nil {
		err = onSomething(n)
	}
	if err != nil {
		return Plan{}, err
	}
	of := strings.ToLower(plain(r.Of))
	switch {
	case r.Is != "curing" && (of != "" || r.Long != 0):
		return Plan{}, &Refusal{Reason: CuresNot, Name: r.Is}
	case r.Long < 0 || r.Long > 366*24*time.Hour:
		return Plan{}, &Refusal{Reason: NoCuring, Length: r.Long}
	}
	err = correcting(l.Holds, r.Instead, func(h journal.Hold) journal.Written { return h.Written })
	if err != nil {
		return Plan{}, err
	}
	for _, h := range l.HoldsOf(b.ID) {
		// One more coat of filler cures anew.
		if h.Is == r.Is && r.Is != "curing" && h.Record != r.Instead && h.Names(n.Parts, n.Sub) {
			return Plan{}, &Refusal{Reason: HeldAlready, Hold: &h, At: h.At.In(zone(l.State))}
		}
	}
	return just(journal.HoldBody{Noted: n, Is: r.Is, Of: of, Hours: r.Long.Hours()})
}

// Release ends what had to be remembered: by the id of its record, or by what it is of.
type Release struct {
	Hold  string // its record, "" = of Parts
	Build string // as in About
	Parts string // parts, or the name of a sub-assembly
	Is    string // one of journal.HoldWhats, where several things are held; "" = whichever
	Text  string
	At    time.Time // zero = now
}

// Plan finds the one that is meant; one that was corrected is meant by its first id,
// too.
func (r Release) Plan(l journal.Look) (Plan, error) {
	at, err := moment(l, r.At)
	if err != nil {
		return Plan{}, err
	}
	if r.Is != "" {
		if err := wordOf(r.Is, journal.HoldWhats); err != nil {
			return Plan{}, err
		}
	}
	h, err := r.find(l)
	if err != nil {
		return Plan{}, err
	}
	if at.Before(h.At) && h.At.Sub(at) < time.Minute { // a time typed has no seconds
		at = h.At
	}
	switch {
	case !h.Until.IsZero():
		return Plan{}, &Refusal{Reason: ReleasedAlready, Hold: h, At: h.Until.In(zone(l.State))}
	case at.Before(h.At):
		return Plan{}, &Refusal{Reason: HeldLater, Hold: h, At: h.At.In(zone(l.State))}
	}
	return just(journal.ReleaseBody{Hold: h.Record, Text: strings.TrimSpace(r.Text), At: at})
}

// find is the hold that is meant.
func (r Release) find(l journal.Look) (*journal.Hold, error) {
	if r.Hold != "" {
		id := r.Hold
		for range l.Holds {
			i := slices.IndexFunc(l.Holds, func(h journal.Hold) bool { return h.Record == id })
			if i < 0 {
				break
			}
			if l.Holds[i].Counts() {
				return &l.Holds[i], nil
			}
			id = l.Holds[i].Replaced
		}
		return nil, &Refusal{Reason: NoSuchHold, Name: r.Hold}
	}
	n, b, err := About{Build: r.Build, Parts: r.Parts}.noted(l)
	if err == nil {
		err = onSomething(n)
	}
	if err != nil {
		return nil, err
	}
	var found, larger []journal.Hold
	for _, h := range l.HoldsOf(b.ID) {
		held := func(p journal.PartRef) bool { return slices.ContainsFunc(h.Parts, p.Is) }
		switch some := slices.ContainsFunc(n.Parts, held); {
		case r.Is != "" && h.Is != r.Is:
		case h.Names(n.Parts, n.Sub):
			found = append(found, h)
		case some:
			larger = append(larger, h)
		}
	}
	no := &Refusal{Reason: NoSuchHold, Name: n.On(), Build: b.ID}
	switch {
	case len(found) == 1:
		return &found[0], nil
	case len(found) > 1:
		no.Reason = SeveralHolds
	case len(larger) > 0:
		no.Reason, found = HoldsMore, larger
	}
	for _, h := range found {
		no.Known = append(no.Known, h.Record)
	}
	if len(found) > 0 {
		no.Hold, no.Count = &found[0], len(found)
	}
	return nil, no
}

// Prep is what was done to a part that must be known when it is put together.
type Prep struct {
	About
	Is          string // one of journal.PrepWhats, "" = as Text says
	With        string // mating parts; of a swap, what came in their place
	Angle, Side string
}

// Plan wants more than the bare word where that says nothing yet.
func (r Prep) Plan(l journal.Look) (Plan, error) {
	if r.Is != "" {
		if err := wordOf(r.Is, journal.PrepWhats); err != nil {
			return Plan{}, err
		}
	}
	n, b, err := r.noted(l)
	if err == nil {
		err = onSomething(n)
	}
	if err != nil {
		return Plan{}, err
	}
	body := journal.PrepBody{Noted: n, Is: r.Is, Angle: plain(r.Angle), Side: plain(r.Side)}
	if body.With, err = named(b, strings.TrimSpace(r.With)); err != nil {
		return Plan{}, err
	}
	silent := n.Text == "" && body.Angle == "" && body.Side == "" && len(body.With) == 0 && n.Photo == ""
	if silent && !slices.Contains([]string{"gates-together", "gates-apart", "shim", "pin", "pegs"}, r.Is) {
		return Plan{}, &Refusal{Reason: NoWords}
	}
	err = correcting(l.Preps, r.Instead, func(p journal.Prep) journal.Written { return p.Written })
	if err != nil {
		return Plan{}, err
	}
	return just(body)
}

// Hands is how the hands are: at the session that runs, or another, or at none.
type Hands struct {
	About
	Session string // id, "" = the one that runs, if it is of the build
	Is      string // one of journal.HandsWhats, "" = as Text says
	Where   string // "left thumb"
}

// Plan finds the session: what work it came of is what the table shows.
func (r Hands) Plan(l journal.Look) (Plan, error) {
	if r.Is != "" {
		if err := wordOf(r.Is, journal.HandsWhats); err != nil {
			return Plan{}, err
		}
	}
	if r.Is == "" && strings.TrimSpace(r.Text) == "" {
		return Plan{}, &Refusal{Reason: NoWords}
	}
	about, s := r.About, (*journal.Session)(nil)
	if r.Session != "" {
		var err error
		if s, err = session(l, r.Session); err != nil {
			return Plan{}, err
		}
		if about.Build == "" {
			about.Build = s.Build
		}
	}
	n, b, err := about.noted(l)
	if err != nil {
		return Plan{}, err
	}
	if s != nil && s.Build != b.ID {
		return Plan{}, &Refusal{Reason: NoSuchSession, Name: r.Session, Build: r.Build}
	}
	for _, one := range l.Running() {
		if s == nil && one.Build == b.ID && one.Start.Sub(n.At) < time.Minute {
			s = one
		}
	}
	body := journal.HandsBody{Noted: n, Is: r.Is, Where: plain(r.Where)}
	if s != nil {
		body.Session = s.ID
	}
	err = correcting(l.Hands, r.Instead, func(h journal.Hands) journal.Written { return h.Written })
	if err != nil {
		return Plan{}, err
	}
	return just(body)
}
