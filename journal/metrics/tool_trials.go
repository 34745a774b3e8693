// Tools on trial: pace and marks with the tool and without it.

package metrics

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"rakelight/journal/say"
)

const (
	// The mix of parts with the tool is called easier, or harder, when it takes a
	// tenth less or more at one's usual pace: a tool that helps by a fifth would
	// owe half of that to the parts.
	sameEase = 0.9
	// Above this share of parts without a class nobody can tell how hard they were.
	mostUnclassed = 0.5
)

// Tried is what sessions and marks say of a tool.
type Tried struct {
	Tool  string
	Kinds []TriedKind // stage kinds the tool was used on, sorted
	Marks []TriedMark // criteria of those kinds that have marks, by number
}

// TriedKind is one stage kind with the tool and without it.
type TriedKind struct {
	Kind, Unit    string
	With, Without Pace // raw, measured time
	// Comparison has the sessions without the tool on its earlier side and those
	// with it on its later side: Speed is above 1 when the tool is quicker, like
	// for like, and Coverage is of the hours with it.
	Comparison Comparison
	// Ease is what a part of the mix worked with the tool takes over one of the
	// mix worked without it, both at the usual pace of their classes: 0.7 says that
	// the tool got parts that take a third less anyway. 0 = not known.
	Ease      float64
	Cautions  []Why // what else may be behind the number, by the sessions compared, as sentences without a period
	OtherTool int   // sessions without it that name another tool; the rest of them name none
}

// TriedMark is the marks on one criterion.
type TriedMark struct {
	Criterion     int
	Name          say.Key
	With, Without Mean
	Gap           Mean // with less without; Interval Welch's; N is all marks
}

// TryTool compares the sessions with a tool to those without it, in each stage
// kind that the tool was counted in. with and without may hold any kinds. The
// comparison is that of builds (Compare): the common ratio, an
// interval by evenings; measured time alone.
//
// Like for like allows for the classes of the parts and not for more. Cautions
// name what stays behind the number: the tool got the easier parts, the parts have
// no class, all sessions without it are older, so that learning counts for the
// tool.
func TryTool(tool string, with, without []Work) Tried {
	out := Tried{Tool: tool}
	var kinds []string
	for _, w := range with {
		if w.Counted && !slices.Contains(kinds, w.Kind) {
			kinds = append(kinds, w.Kind)
		}
	}
	slices.Sort(kinds)
	for _, kind := range kinds {
		out.Kinds = append(out.Kinds, tryKind(kind, ofKind(with, kind), ofKind(without, kind)))
	}
	return out
}

// among keeps the sessions with the ids, and those without one: cautions about work that
// is in no number would be of something else.
func among(ws []*Work, ids []string) []*Work {
	in := make(map[string]bool, len(ids))
	for _, id := range ids {
		in[id] = true
	}
	return slices.DeleteFunc(ws, func(w *Work) bool { return w.Session != "" && !in[w.Session] })
}

func ofKind(ws []Work, kind string) []Work {
	var out []Work
	for _, w := range ws {
		if w.Kind == kind {
			out = append(out, w)
		}
	}
	return out
}

func tryKind(kind string, with, without []Work) TriedKind {
	t := TriedKind{Kind: kind, Comparison: Compare(without, with, Options{})}
	t.Unit, _ = CountedKind(kind)
	t.With, t.Without = t.Comparison.RawLater, t.Comparison.RawEarlier
	split, _ := apportion(Options{}.use(without), Options{}.use(with))
	out, in := split[0], split[1]
	for _, w := range bySession(out) {
		if len(w.Tools) > 0 {
			t.OtherTool++
		}
	}
	in, out = among(in, t.Comparison.LaterSessions), among(out, t.Comparison.EarlierSessions)
	t.Ease = easeOf(in, out)
	switch {
	case t.Ease > 0 && t.Ease < sameEase:
		t.Cautions = append(t.Cautions,
			Because("the tool was mostly used on easier parts: they take %.0f %% less time a %s anyway", 100*(1-t.Ease),
				One(t.Unit)))
	case t.Ease > 1/sameEase:
		t.Cautions = append(t.Cautions,
			Because("the tool was mostly used on harder parts: they take %.0f %% more time a %s anyway", 100*(t.Ease-1),
				One(t.Unit)))
	}
	if share := unclassed(append(slices.Clone(in), out...)); share > mostUnclassed {
		t.Cautions = append(t.Cautions,
			Because("%.0f %% of the %s have no class, so nobody can tell whether the tool got the easier ones", 100*share,
				Many(t.Unit)))
	}
	if first, last := span(in); !first.IsZero() {
		switch begin, end := span(out); {
		case begin.IsZero():
		case last.Before(begin):
			t.Cautions = append(t.Cautions,
				Because("all sessions without it are newer: what you have learned since is in the number too"))
		case end.Before(first):
			t.Cautions = append(t.Cautions,
				Because("all sessions without it are older: what you have learned since is in the number too"))
		}
	}
	return t
}

// easeOf prices both mixes at the same hours per part of each cell: those without
// the tool, so that the tool's own effect stays out, and those with it only in
// cells that were never worked without. 0 when a side has no parts.
func easeOf(with, without []*Work) float64 {
	var hours, parts [2]map[Cell]float64
	for k, ws := range [2][]*Work{with, without} {
		hours[k], parts[k] = map[Cell]float64{}, map[Cell]float64{}
		for _, w := range ws {
			if w.timed() {
				hours[k][cellOf(w)] += w.Hours
				parts[k][cellOf(w)] += w.Parts
			}
		}
	}
	mean := func(side int) float64 {
		var cells []Cell
		for c := range parts[side] {
			cells = append(cells, c)
		}
		slices.SortFunc(cells, compareCells)
		var h, q float64
		for _, c := range cells {
			from := 1
			if !(parts[1][c] > 0) {
				from = 0
			}
			if parts[side][c] > 0 && parts[from][c] > 0 {
				h += parts[side][c] * hours[from][c] / parts[from][c]
				q += parts[side][c]
			}
		}
		return h / q
	}
	if e := mean(0) / mean(1); e > 0 && !math.IsInf(e, 0) {
		return e
	}
	return 0
}

// unclassed is the share of parts whose class nobody said.
func unclassed(ws []*Work) float64 {
	var none, all float64
	for _, w := range ws {
		all += w.Parts
		if w.Class == "" && len(w.Mix) == 0 {
			none += w.Parts
		}
	}
	if !(all > 0) {
		return 0
	}
	return none / all
}

// span is when the first and the last dated session began.
func span(ws []*Work) (first, last time.Time) {
	for _, w := range ws {
		switch {
		case w.Start.IsZero():
			continue
		case first.IsZero() || w.Start.Before(first):
			first = w.Start
		}
		if w.Start.After(last) {
			last = w.Start
		}
	}
	return first, last
}

// leastVariance is what the scores of one side scatter at least, over what both do:
// of five whole scores all may be equal by luck, and would pass for sure. Without it
// five marks against fifteen fall below 0.001 three times too often.
const leastVariance = 0.5

// GapOf is the difference of two means of scores, with less without. The photo is
// the unit: a score is that of one photo. Its interval and its p value are Welch's; it
// refuses below five marks on a side, and where all marks of both sides are equal.
//
// Welch B.L. (1947), Biometrika 34, 28–35.
func GapOf(with, without []float64) Mean {
	g := Mean{N: len(with) + len(without)}
	if len(with) < enoughToCriticise || len(without) < enoughToCriticise {
		g.Why = tooFew(Because("%d marks with it and %d without, %d of each needed", len(with), len(without),
			enoughToCriticise))
		g.Interval.Why = g.Why
		return g
	}
	g.OK, g.Value = true, stat.Mean(with, nil)-stat.Mean(without, nil)
	n, m := float64(len(with)), float64(len(without))
	a, b := stat.Variance(with, nil), stat.Variance(without, nil)
	least := leastVariance * ((n-1)*a + (m-1)*b) / (n + m - 2)
	a, b = math.Max(a, least)/n, math.Max(b, least)/m
	if a+b == 0 {
		g.Interval.Why = Because("all marks of one side are the same")
		return g
	}
	df := (a + b) * (a + b) / (a*a/(n-1) + b*b/(m-1))
	se := math.Sqrt(a + b)
	g.Tested, g.PValue = true, chanceOfT(g.Value/se, df)
	reach := tQuantile(df) * se
	g.Interval = Interval{Low: max(-topScore, g.Value-reach), High: min(topScore, g.Value+reach), OK: true}
	return g
}

// chanceOfT is the two-sided p value of a number that lies t standard errors from
// what it would be if nothing had changed.
func chanceOfT(t, df float64) float64 {
	return 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.CDF(-math.Abs(t))
}

// MarkTried returns the marks of one criterion with a tool and without it.
func MarkTried(criterion int, name say.Key, with, without []float64) TriedMark {
	return TriedMark{criterion, name, meanOf(with), meanOf(without), GapOf(with, without)}
}

// Sentence says the pace with the tool in words; label is the stage kind.
func (t TriedKind) Sentence(label, tool string) say.Text {
	c := t.Comparison
	if !c.OK {
		return say.Of("%s with %s: no comparison (%s).", label, tool, c.sideWords(c.Why))
	}
	span := say.Of("%s with it, %d without; like for like, covers %.0f %% of the hours with it",
		say.Count{N: c.N2, Noun: "session"}, c.N1, 100*c.Coverage)
	if c.Interval.OK {
		span = say.Of("%s to %s; %s", Figure(c.Interval.Low), Figure(c.Interval.High), span)
	}
	says := map[string]say.Key{
		Faster: "%s with %s: faster, %s times the pace without it (%s)%s.",
		Slower: "%s with %s: slower, %s times the pace without it (%s)%s.",
		Same:   "%s with %s: about the same pace as without it, %s times the pace without it (%s)%s.",
		TooFew: "%s with %s: too few evenings to tell, so far %s times the pace without it (%s)%s.",
	}
	key, ok := says[c.Verdict()]
	if !ok {
		key = "%s with %s: %s times the pace without it (%s)%s."
	}
	return say.Of(key, label, tool, Figure(c.Speed), span, c.caution())
}

// sideWords says the two sides of a comparison as with and without the tool.
func (c Comparison) sideWords(why Why) Why {
	switch why.key {
	case noCells.key:
		return Because("no kind of work with parts and hours both with it and without")
	case onlyLater.key:
		return Because("only with it")
	case onlyEarlier.key:
		return Because("only without it")
	case earlierSide:
		return Because("without it: %s", why.args[0])
	case laterSide:
		return Because("with it: %s", why.args[0])
	}
	return why
}

// Sentence says the marks in words.
func (m TriedMark) Sentence() say.Text {
	two := func(x float64) say.Number { return signed(x, 2) }
	var between say.Wording
	switch g := m.Gap; {
	case !g.OK:
		between = g.Why
	case !g.Interval.OK:
		between = say.Of("the difference %s (%s)", two(g.Value), g.Interval.Why)
	case g.Claimed:
		between = say.Of("the difference %s (%s to %s)", two(g.Value), two(g.Interval.Low), two(g.Interval.High))
	default:
		between = say.Of("between them %s (%s to %s), which may be chance", two(g.Value), two(g.Interval.Low),
			two(g.Interval.High))
	}
	return say.Of("Marks, %s: %s, %s; %s.", m.Name, meanWords(m.With, [3]say.Key{"none with it",
		"%s with it (%s to %s; %s)", "%s with it (%s; %s)"}), meanWords(m.Without, [3]say.Key{"none without",
		"%s without (%s to %s; %s)", "%s without (%s; %s)"}), between)
}

// meanWords says a mean: that there is none, the mean with its range, and without one.
func meanWords(mean Mean, keys [3]say.Key) say.Text {
	value, n := say.Decimal(mean.Value, 1), say.Count{N: mean.N, Noun: "mark"}
	switch {
	case !mean.OK:
		return say.Of(keys[0])
	case mean.Interval.OK:
		return say.Of(keys[1], value, say.Decimal(mean.Interval.Low, 1), say.Decimal(mean.Interval.High, 1), n)
	}
	return say.Of(keys[2], value, n, mean.Interval.Why)
}

// Markdown writes the figures in a language as a list of sentences, then a table of
// cells; "" when no counted session used the tool. title and class make labels of a stage
// kind and of a class.
func (t Tried) Markdown(in *say.Speaker, title, class func(string) string) string {
	var s strings.Builder
	item := func(indent string, text say.Text) { fmt.Fprintf(&s, "%s- %s\n", indent, oneLine(text.In(in))) }
	for _, k := range t.Kinds {
		item("", k.Sentence(title(k.Kind), t.Tool))
		for _, c := range k.Cautions {
			item("  ", say.Of("Caution: %s.", c))
		}
		if n := k.Without.N; n > 0 {
			item("  ", say.Of("Without it: %s in all, of which %d name another tool and %d name none.",
				say.Count{N: n, Noun: "session"}, k.OtherTool, n-k.OtherTool))
		}
		if out := k.Comparison.LeftOutLater; out.Estimated+out.Remembered+out.Unsaid > 0 {
			item("  ", say.Of("Left out with it: %s without a timer, %s h.",
				say.Count{N: out.Estimated + out.Remembered + out.Unsaid, Noun: "session"}, Tenths(out.Hours)))
		}
	}
	for _, m := range t.Marks {
		item("", m.Sentence())
	}
	rows := false
	for _, k := range t.Kinds {
		for _, row := range slices.Concat(k.Comparison.Cells, k.Comparison.LeftOut) {
			if !rows {
				s.WriteString("\n" + triedHead(in) + "|---|---|--:|--:|--:|--:|--:|\n")
				rows = true
			}
			times := k.Comparison.sideWords(row.Why).In(in)
			if row.Speed > 0 {
				times = Figure(row.Speed).In(in)
			}
			fmt.Fprintf(&s, "| %s | %s | %s | %d | %s | %d | %s |\n",
				cell(title(row.Kind)), cell(cmp.Or(class(row.Class), "–")),
				perHour(row.Later).In(in), row.Later.N, perHour(row.Earlier).In(in), row.Earlier.N, times)
		}
	}
	return s.String()
}

// triedHead heads the table of cells.
func triedHead(in *say.Speaker) string {
	head := "|"
	for _, key := range []say.Key{"column¦stage", "column¦class", "column¦with it", "column¦sessions", "column¦without",
		"column¦sessions", "column¦speed"} {
		head += " " + cell(in.Say(key)) + " |"
	}
	return head + "\n"
}

// oneLine keeps what a name holds from beginning another line of the list.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// cell keeps it from beginning another cell of the table.
func cell(text string) string { return strings.ReplaceAll(oneLine(text), "|", `\|`) }

func perHour(p Pace) say.Number {
	if !p.OK {
		return "–"
	}
	return Figure(p.PerHour)
}
