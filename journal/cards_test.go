// Tests of what photographed cards come to mean: each row of the table in
// cards.go, and that the order of arrival does not matter.

package journal

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal/reason"
)

var cardPlan = Plan{Zone: time.UTC, Builds: []*Build{
	{ID: "pilot-boat", Title: "Pilot boat", Stages: []Stage{{ID: "cut", Title: "Cut", Kind: "cut"}, {ID: "clean", Title: "Clean", Kind: "clean"}, {ID: "paint", Title: "Paint", Kind: "paint"}},
		Kits: []Kit{{Runners: []Runner{{Letter: "A", Parts: []string{"1", "2", "3", "4"}, NotUsed: []string{"4"}}}}}},
	{ID: "lorry", Title: "Lorry", Stages: []Stage{{ID: "clean", Title: "Clean", Kind: "clean"}, {ID: "paint-cab", Title: "Paint the cab", Kind: "paint"}, {ID: "paint-bed", Title: "Paint the bed", Kind: "paint"}}},
}}

// shots makes photo records of lines "19:00 begin pilot-boat clean", one card
// each, or "19:05 photo". A leading + makes it the next day; "K2" at the end is
// another camera. Several cards in one picture are joined by " & ".
func shots(t *testing.T, lines ...string) []Record {
	t.Helper()
	var out []Record
	for i, line := range lines {
		day := 14
		for strings.HasPrefix(line, "+") {
			line, day = line[1:], day+1
		}
		line, other := strings.CutSuffix(line, " K2")
		clock, what, _ := strings.Cut(line, " ")
		if len(clock) == 5 {
			clock += ":00"
		}
		at, err := time.Parse(time.DateTime, fmt.Sprintf("2026-03-%02d %s", day, clock))
		if err != nil {
			t.Fatal(err)
		}
		b := PhotoBody{Hash: fmt.Sprintf("%016d%048d", i+1, 0), Path: fmt.Sprintf("photos/%d.jpg", i+1), Name: line, Camera: Camera{Model: "T-24"},
			Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: "stated"}, Why: map[string]reason.Why{}}
		if other {
			b.Camera.Model = "K 2"
		}
		if what != "photo" {
			for _, one := range strings.Split(what, " & ") {
				b.Cards = append(b.Cards, CardSeen{Text: cardText(t, one)})
			}
		}
		body, err := json.Marshal(b)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, Record{At: time.Date(2026, 4, 1, 0, i, 0, 0, time.UTC), Dev: "bench-1", Seq: int64(i + 1), Kind: "photo", Body: body})
	}
	return out
}

// cardText is the text of a card in words: "begin lorry clean", "begin clean",
// "end", "12", "runner A", "before", "raking", "trial 3".
func cardText(t *testing.T, words string) string {
	t.Helper()
	w := strings.Fields(words)
	var c Card
	var n int
	build := func(i int) string {
		if len(w) > i {
			return BuildKey(w[i])
		}
		return ""
	}
	switch {
	case w[0] == "begin" && len(w) == 3:
		c = Card{Says: BeginCard, Build: BuildKey(w[1]), Stage: StageKey(w[2])}
	case w[0] == "begin":
		c = Card{Says: BeginCard, Stage: StageKey(w[1])}
	case w[0] == "end":
		c = Card{Says: EndCard, Build: build(1)}
	case w[0] == "break":
		c = Card{Says: BreakCard, Build: build(1)}
	case w[0] == "pause":
		c = Card{Says: PauseCard, Build: build(1)}
	case w[0] == "runner":
		c = Card{Says: RunnerCard}
		if len(w) > 1 {
			c.Word = w[1]
		}
	case w[0] == "trial":
		fmt.Sscan(w[1], &n)
		c = Card{Says: TrialCard, Count: n}
	case slices.Contains(Roles, w[0]):
		c = Card{Says: RoleCard, Word: w[0]}
	case slices.Contains(Views, w[0]):
		c = Card{Says: ViewCard, Word: w[0]}
	case slices.Contains(Lights, w[0]):
		c = Card{Says: LightCard, Word: w[0]}
	default:
		fmt.Sscan(w[0], &n)
		c = Card{Says: CountCard, Count: n}
	}
	text, err := c.Text()
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// told is the sessions, pauses and contradictions of a state in words.
func told(s *State) string {
	var out []string
	for _, one := range s.Sessions {
		end := "running"
		if !one.Open {
			end = one.End.Format("15:04")
		}
		line := fmt.Sprintf("%s/%s %s-%s %s %d", one.Build, one.Stage, one.Start.Format("15:04"), end, one.Known, one.Done())
		if one.Doubt.Any() {
			line += " doubt"
		}
		for _, n := range one.Trials {
			line += fmt.Sprintf(" trial %d", n)
		}
		out = append(out, line)
	}
	for _, p := range s.Pauses {
		until := "now"
		if !p.Until.IsZero() {
			until = p.Until.Format("15:04")
		}
		out = append(out, fmt.Sprintf("%s aside %s-%s", p.Build, p.From.Format("15:04"), until))
	}
	for _, c := range s.Cards {
		if c.Did.Idle() {
			out = append(out, "wrong: "+c.Why())
		}
	}
	return strings.Join(out, "\n")
}

var cardStories = []struct {
	name  string
	shots []string
	want  []string
}{
	{"begin and end", []string{"19:00 begin pilot-boat clean", "19:20 10", "20:00 end"}, []string{"pilot-boat/clean 19:00-20:00 measured 10"}},
	{"a count on purpose twice", []string{"19:00 begin pilot-boat clean", "19:20 10", "19:21 10", "20:00 end"}, []string{"pilot-boat/clean 19:00-20:00 measured 20"}},
	{"a count twice by mistake", []string{"19:00 begin pilot-boat clean", "19:20 10", "19:20:09 10", "19:20:18 10", "20:00 end"}, []string{"pilot-boat/clean 19:00-20:00 measured 10"}},
	{"another card between", []string{"19:00 begin pilot-boat clean", "19:20 10", "19:20:05 5", "19:20:10 10", "20:00 end"}, []string{"pilot-boat/clean 19:00-20:00 measured 25"}},
	{"the next begin ends it", []string{"19:00 begin pilot-boat clean", "20:00 begin lorry clean", "20:30 end"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 0", "lorry/clean 20:00-20:30 measured 0"}},
	{"silence ends it", []string{"19:00 begin pilot-boat clean", "19:50 photo", "+09:00 begin lorry clean", "+09:30 end"},
		[]string{"pilot-boat/clean 19:00-19:50 estimated 0", "lorry/clean 09:00-09:30 measured 0"}},
	{"silence without a next card", []string{"19:00 begin pilot-boat clean", "19:50 photo", "+09:00 photo"}, []string{"pilot-boat/clean 19:00-19:50 estimated 0"}},
	{"still running", []string{"19:00 begin pilot-boat clean", "19:50 photo"}, []string{"pilot-boat/clean 19:00-running measured 0"}},
	{"an end card speaks for a long silence", []string{"19:00 begin pilot-boat clean", "22:00 end"}, []string{"pilot-boat/clean 19:00-22:00 measured 0"}},
	{"but not for a night", []string{"19:00 begin pilot-boat clean", "19:30 photo", "+08:00 end"},
		[]string{"pilot-boat/clean 19:00-19:30 estimated 0", "wrong: nothing ran at that time"}},
	{"a begin and nothing else", []string{"19:00 begin pilot-boat clean", "+19:00 begin pilot-boat paint", "+19:30 end"},
		[]string{"pilot-boat/clean 19:00-19:00 estimated 0 doubt", "pilot-boat/paint 19:00-19:30 measured 0"}},
	{"end without begin", []string{"19:00 end", "19:10 5"}, []string{"wrong: nothing ran at that time", "wrong: nothing ran at that time"}},
	{"an end of another build", []string{"19:00 begin pilot-boat clean", "19:30 end lorry", "20:00 end pilot-boat"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 0", "wrong: it is of another build than pilot-boat, which ran at that time and goes on"}},
	{"two cameras", []string{"19:00 begin pilot-boat clean", "19:20 5 K2", "20:00 end K2"}, []string{"pilot-boat/clean 19:00-20:00 measured 5"}},
	{"count and end in one picture", []string{"19:00 begin pilot-boat clean", "20:00 end & 5"}, []string{"pilot-boat/clean 19:00-20:00 measured 5"}},
	{"two begins in one picture", []string{"19:00 begin pilot-boat clean & begin lorry clean"}, []string{"wrong: two stages begin in one picture", "wrong: two stages begin in one picture"}},
	{"a whole runner, but what is not for use", []string{"19:00 begin pilot-boat clean", "19:30 runner", "19:40 runner A", "20:00 end"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 3", "wrong: all of runner A was done in that stage before"}},
	{"pause and taken up again", []string{"19:00 begin pilot-boat clean", "20:00 pause", "+19:00 begin pilot-boat clean", "+20:00 end"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 0", "pilot-boat/clean 19:00-20:00 measured 0", "pilot-boat aside 20:00-19:00"}},
	{"pause of a build that does not run", []string{"19:00 begin pilot-boat clean", "19:30 pause lorry", "20:00 end"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 0", "lorry aside 19:30-now"}},
	{"the same begin again goes on", []string{"19:00 begin pilot-boat clean", "19:40 begin pilot-boat clean", "20:00 end"}, []string{"pilot-boat/clean 19:00-20:00 measured 0"}},
	{"any build is the one worked on last", []string{"19:00 begin pilot-boat clean", "19:30 begin paint", "20:00 end"},
		[]string{"pilot-boat/clean 19:00-19:30 measured 0", "pilot-boat/paint 19:30-20:00 measured 0"}},
	{"any build, never worked", []string{"19:00 begin clean"}, []string{"wrong: it names no build, and none was worked on before"}},
	{"two stages of a kind", []string{"19:00 begin lorry clean", "19:30 begin paint", "20:00 end"},
		[]string{"lorry/clean 19:00-20:00 measured 0", "wrong: lorry has 2 stages of that kind"}},
	{"a build that is gone", []string{"19:00 begin seaplane clean"}, []string{"wrong: it names a build that is not in this journal; was its folder renamed?"}},
	{"a trial", []string{"19:00 begin pilot-boat clean", "19:10 trial 3", "20:00 end"}, []string{"pilot-boat/clean 19:00-20:00 measured 0 trial 3"}},
}

func TestCardStories(t *testing.T) {
	for _, story := range cardStories {
		got := told(Fold(cardPlan, shots(t, story.shots...)))
		if want := strings.Join(story.want, "\n"); got != want {
			t.Errorf("%s: %q\ngot\n%s\nwant\n%s", story.name, story.shots, got, want)
		}
	}
}

// Cards that come late, shuffled or twice leave the state they would have left
// in time. Only the records' own ids, which number their arrival, differ.
func TestCardsComeInAnyOrder(t *testing.T) {
	words := []string{"photo", "photo", "begin pilot-boat clean", "begin lorry clean", "begin pilot-boat paint", "begin paint", "end", "end lorry", "pause", "pause lorry",
		"break", "break", "break lorry", "0", "1", "5", "20", "runner A", "runner", "before", "after", "front", "raking", "trial 2", "5 & end", "begin lorry clean & end"}
	for seed := range uint64(150) {
		rng := rand.New(rand.NewPCG(seed, 4))
		at := time.Date(2026, 3, 14, 8, 0, 0, 0, time.UTC)
		var lines []string
		for range 5 + rng.IntN(40) {
			at = at.Add([]time.Duration{4 * time.Second, 3 * time.Minute, 25 * time.Minute, 100 * time.Minute, 6 * time.Hour}[rng.IntN(5)])
			lines = append(lines, strings.Repeat("+", at.Day()-14)+at.Format("15:04:05 ")+words[rng.IntN(len(words))]+[]string{"", " K2"}[rng.IntN(2)])
			if at.Day() > 27 {
				break
			}
		}
		records := shots(t, lines...)
		want := withoutIDs(Fold(cardPlan, records))
		late := slices.Clone(records)
		rng.Shuffle(len(late), func(i, k int) { late[i], late[k] = late[k], late[i] })
		for i := range late {
			late[i].Seq, late[i].At = int64(i+1), time.Date(2026, 5, 1, 0, i, 0, 0, time.UTC)
			late[i].Dev = fmt.Sprintf("bench-%d", rng.IntN(2))
		}
		if got := withoutIDs(Fold(cardPlan, late)); !reflect.DeepEqual(got, want) {
			t.Fatalf("seed %d: cards in another order fold to another state\n%s\n\n%s\n\n%s", seed, strings.Join(lines, "\n"), told(want), told(got))
		}
	}
}

func withoutIDs(s *State) *State {
	for _, p := range s.Photos {
		p.Record = ""
	}
	return s
}

func written(t *testing.T, seq int64, body Body) Record {
	t.Helper()
	data, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	return Record{At: time.Date(2026, 6, 1, 0, int(seq), 0, 0, time.UTC), Dev: "bench-9", Seq: seq, Kind: body.RecordKind(), Body: data}
}

// What a person says of a session by card, or of a card, stays, whatever cards
// come after it.
func TestCardsCorrectedByHandStay(t *testing.T) {
	records := shots(t, "19:00:05 begin pilot-boat clean", "19:20 10", "20:00 end", "19:30 begin lorry clean", "19:00 begin pilot-boat clean")
	hash := func(i int) string { return fmt.Sprintf("%016d%048d", i, 0) }
	count := 7
	hand := []Record{
		written(t, 1, CardBody{Photo: hash(4)}), // the lorry's card lay about
		written(t, 2, CorrectBody{Session: cardSession(hash(1)), Count: &count}),
	}
	// Before the earlier picture of the same card came, and after: the id that
	// was corrected is that of the later picture.
	for n, want := range map[int]string{4: "pilot-boat/clean 19:00-20:00 measured 7", 5: "pilot-boat/clean 19:00-20:00 measured 7"} {
		s := Fold(cardPlan, append(slices.Clone(records[:n]), hand...))
		if got := told(s); got != want || len(s.Problems) > 0 {
			t.Errorf("with %d photos: %s, %v; want %s", n, got, s.Problems, want)
		}
	}
	// A card read wrong is set right.
	hand[0] = written(t, 1, CardBody{Photo: hash(2), Cards: []string{cardText(t, "20")}})
	if got := told(Fold(cardPlan, append(slices.Clone(records[:3]), hand[0]))); got != "pilot-boat/clean 19:00-20:00 measured 20" {
		t.Error(got)
	}
}

func TestCardsTagPhotos(t *testing.T) {
	records := shots(t, "19:00 begin pilot-boat clean", "19:05 before & raking", "19:06 photo", "19:07 photo K2", "19:08 after", "19:09 photo", "19:50 photo", "20:00 end", "20:01 photo")
	hash := func(i int) string { return fmt.Sprintf("%016d%048d", i, 0) }
	records = append(records, written(t, 1, TagBody{Photo: hash(6), Set: Tags{Role: "problem"}}))
	s := Fold(cardPlan, records)
	var got []string
	for _, p := range s.Photos {
		got = append(got, fmt.Sprintf("%s/%s/%s/%s", p.Tags.Build, p.Tags.Stage, p.Tags.Role, p.Tags.Light))
	}
	want := []string{"pilot-boat/clean//", "pilot-boat/clean/before/raking", "pilot-boat/clean/before/raking", "pilot-boat/clean//", "pilot-boat/clean/after/raking",
		"pilot-boat/clean/problem/raking", "pilot-boat/clean//", "pilot-boat/clean//", "pilot-boat/clean//"}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%q\nwant\n%q", got, want)
	}
}

// A timer and cards do not count the same hour twice.
func TestCardsBesideATimer(t *testing.T) {
	day := time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)
	begin := written(t, 1, BeginBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Start: day.Add(19 * time.Hour)})
	got := told(Fold(cardPlan, append(shots(t, "19:10 5", "19:20 begin lorry clean", "20:00 end"), begin)))
	if want := "pilot-boat/clean 19:00-20:00 measured 5\nwrong: a timer ran on clean of pilot-boat at that time; the card begins nothing"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}
