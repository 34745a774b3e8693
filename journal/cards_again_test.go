// Tests of cards that are seen again: taken twice, left lying, shown anew.

package journal

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
)

// shotsAt gives photos places for their cards: the word after a card's words in
// braces tells where it lies in a picture of 1200 x 900. "alone" fills it; all
// others lie beside the work.
func shotsAt(t *testing.T, lines ...string) []Record {
	t.Helper()
	var plain []string
	places := make([][]string, len(lines))
	for i, line := range lines {
		for {
			from, to := strings.IndexByte(line, '{'), strings.IndexByte(line, '}')
			if from < 0 {
				break
			}
			places[i] = append(places[i], line[from+1:to])
			line = line[:from-1] + line[to+1:]
		}
		plain = append(plain, line)
	}
	records := shots(t, plain...)
	for i := range records {
		var b PhotoBody
		if err := json.Unmarshal(records[i].Body, &b); err != nil {
			t.Fatal(err)
		}
		b.Width, b.Height = 1200, 900
		for k := range b.Cards {
			where := "beside"
			if k < len(places[i]) {
				where = places[i][k]
			}
			b.Cards[k].Corners = cornersAt(t, where)
		}
		records[i].Body, _ = json.Marshal(b)
	}
	return records
}

// cornersAt are the corners of a symbol: middle, side, turned by degrees.
func cornersAt(t *testing.T, where string) (out [8]float64) {
	t.Helper()
	at, ok := map[string][4]float64{
		"alone": {600, 450, 400, 3}, "beside": {250, 300, 90, 5},
		"nudged": {340, 380, 80, -8}, // the camera was held a little otherwise
		"near":   {330, 150, 150, 10},
		"below":  {250, 740, 90, 5},
		"close":  {100, 800, 180, 5},         // only a part of what the others show
		"across": {950, 600, 90, 20},         // on the other side of what is photographed
		"round":  {1200 - 250, 600, 90, 185}, // the whole scene from the other side of the bench
	}[where]
	if !ok {
		t.Fatalf("no place is called %q", where)
	}
	sin, cos := math.Sincos(at[3] * math.Pi / 180)
	for i, c := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		out[2*i] = at[0] + at[2]/2*(c[0]*cos-c[1]*sin)
		out[2*i+1] = at[1] + at[2]/2*(c[0]*sin+c[1]*cos)
	}
	return out
}

// lay is the contradiction of a card left lying.
func lay(since, not string) string {
	return "wrong: in view since " + since + ", perhaps left lying: " + not
}

var seenAgain = []struct {
	name  string
	shots []string
	want  []string
}{
	{"a count left lying", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {beside}", "19:20 5 {beside}", "19:30 5 {nudged}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 5", lay("19:10", "not counted again"), lay("19:10", "not counted again")}},
	{"shown alone, then left lying", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {alone}", "19:20 5 {beside}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 5", lay("19:10", "not counted again")}},
	{"alone each time", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {alone}", "19:20 5 {alone}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 10"}},
	{"gone and come back", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {beside}", "19:15 photo", "19:20 5 {beside}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 10"}},
	{"another camera does not see it", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {beside}", "19:15 photo K2", "19:20 5 {beside}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 5", lay("19:10", "not counted again")}},
	{"a picture of another card proves nothing", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {beside}", "19:15 2 {alone}", "19:20 5 {beside}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 7", lay("19:10", "not counted again")}},
	{"moved across", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {beside}", "19:20 5 {across}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 10"}},
	{"the same from nearer, and from the other side", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {beside}", "19:20 5 {near}", "19:30 5 {round}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 5", lay("19:10", "not counted again"), lay("19:10", "not counted again")}},
	{"a part of the same from close by", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {close}", "19:20 5 {beside}", "19:30 5 {close}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 5", lay("19:10", "not counted again"), lay("19:10", "not counted again")}},
	{"places of two cameras do not compare", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {beside}", "19:20 5 {across} K2", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 5", lay("19:10", "not counted again")}},
	{"a retake", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {alone}", "19:10:32 5 {alone}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 5", "wrong: shown 32 s before, perhaps the same picture taken again: not counted again"}},
	{"another card between is no retake", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {alone}", "19:10:16 2 {alone}", "19:10:32 5 {alone}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 12"}},
	{"a second camera", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {alone}", "19:12 5 {alone} K2", "19:30 5 {alone} K2", "20:00 end {alone}", "20:01 end {alone} K2"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 10", "wrong: shown at 19:10, perhaps the same picture taken again: not counted again"}},
	{"an end left lying", []string{"19:00 begin pilot-boat clean {alone}", "20:00 end {alone}", "20:01 end {beside}", "+19:00 begin pilot-boat clean {alone}", "+19:30 end {beside}", "+20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 0", "pilot-boat/clean 19:00-20:00 measured 0", lay("2026-03-14 20:00", "nothing ends")}},
	{"an end left lying, and nothing else", []string{"19:00 begin pilot-boat clean {alone}", "20:00 end {alone}", "+19:00 begin pilot-boat clean {alone}", "+19:30 end {beside}", "++19:00 photo"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 0", "pilot-boat/clean 19:00-19:30 estimated 0", lay("2026-03-14 20:00", "nothing ends")}},
	{"a begin left lying beside its own work", []string{"19:00 begin pilot-boat clean {beside}", "19:30 begin pilot-boat clean {beside}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 0"}},
	{"a begin left lying under other work", []string{"19:00 begin pilot-boat clean {beside}", "19:30 begin lorry clean {alone}", "19:40 begin pilot-boat clean {beside}", "20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-19:30 measured 0", "lorry/clean 19:30-20:00 measured 0", lay("19:00", "nothing begins")}},
	{"a begin left lying until the next evening", []string{"19:00 begin pilot-boat clean {beside}", "20:00 end {alone}", "+19:00 begin pilot-boat clean {beside}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 0", lay("2026-03-14 19:00", "nothing begins")}},
	{"a begin beside its end", []string{"19:00 begin pilot-boat clean {alone}", "20:00 end {alone} & begin pilot-boat clean {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 0"}},
	{"a pause left lying", []string{"19:00 begin pilot-boat clean {alone}", "19:30 pause pilot-boat {beside}", "19:40 pause pilot-boat {beside}", "+19:00 begin pilot-boat clean {alone}", "+19:10 pause pilot-boat {beside}", "+20:00 end {alone}"},
		[]string{"pilot-boat/clean 19:00-19:30 measured 0", "pilot-boat/clean 19:00-20:00 measured 0", "pilot-boat aside 19:30-19:00", lay("2026-03-14 19:30", "nothing is put aside")}},
	{"a runner left lying", []string{"19:00 begin pilot-boat cut {alone}", "19:30 runner A {beside}", "19:40 runner A {beside}", "20:00 begin pilot-boat clean {alone}", "20:10 runner A {beside}", "20:30 end {alone}"},
		[]string{"pilot-boat/cut 19:00-20:00 measured 3", "pilot-boat/clean 20:00-20:30 measured 0", lay("19:30", "not counted again")}},
	{"a count lies where nothing runs", []string{"19:00 begin pilot-boat clean {alone}", "19:10 5 {beside}", "20:00 end {alone}", "20:30 5 {beside}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 5"}},
	{"a count just after the end", []string{"19:00 begin pilot-boat clean {alone}", "20:00 end {alone}", "20:00:20 5 {alone}", "20:06 2 {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 5", "wrong: nothing ran at that time"}},
	{"a count after the end and the next begin", []string{"19:00 begin pilot-boat clean {alone}", "20:00 end {alone}", "20:00:10 begin lorry clean {alone}", "20:00:20 5 {alone}", "20:30 end {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 0", "lorry/clean 20:00-20:30 measured 5"}},
	{"a whole runner just after a pause", []string{"19:00 begin pilot-boat clean {alone}", "20:00 pause {alone}", "20:00:20 runner A {alone}"},
		[]string{"pilot-boat/clean 19:00-20:00 measured 3", "pilot-boat aside 20:00-now"}},
}

func TestCardsSeenAgain(t *testing.T) {
	for _, story := range seenAgain {
		got := told(Fold(cardPlan, shotsAt(t, story.shots...)))
		if want := strings.Join(story.want, "\n"); got != want {
			t.Errorf("%s: %q\ngot\n%s\nwant\n%s", story.name, story.shots, got, want)
		}
	}
}

// TestSeenAgainAccepted holds that what is to be typed about a card left lying
// counts it, and leaves the other cards of the picture as they were; and that the
// other way out leaves it uncounted.
func TestSeenAgainAccepted(t *testing.T) {
	records := shotsAt(t, "19:00 begin lorry clean {alone}", "19:10 5 {beside}", "19:20 5 {beside} & 2 {across} & after {nudged}", "19:30 5 {beside}", "20:00 end {alone}")
	s := Fold(cardPlan, records)
	var rows []ToDo
	for _, row := range s.ToDo() {
		if row.Kind == CardWrong {
			rows = append(rows, row)
		}
	}
	hash := rows[0].Photo.Short()
	if len(rows) != 2 || rows[0].Command != "rakelight cards --say "+hash+` "2 parts, 5 parts, after"` || rows[0].Else != "rakelight cards --say "+hash+` "2 parts, after"` {
		t.Fatalf("to do: %+v", rows)
	}
	if last := rows[1]; last.Command != "rakelight cards --say "+last.Photo.Short()+` "5 parts"` || last.Else != "rakelight cards --ignore "+last.Photo.Short() {
		t.Errorf("to do: %+v", last)
	}
	for words, want := range map[string]int{"2 parts, 5 parts, after": 12, "2 parts, after": 7} {
		cards, err := s.CardsFrom(words, s.Build("lorry"))
		if err != nil {
			t.Fatal(err)
		}
		body := CardBody{Photo: rows[0].Photo.Hash}
		for _, c := range cards {
			text, err := c.Text()
			if err != nil {
				t.Fatal(err)
			}
			body.Cards = append(body.Cards, text)
		}
		now := Fold(cardPlan, append(slices.Clone(records), written(t, 1, body)))
		idle := keep(now.Cards, func(c CardSaid) bool { return c.Did.Idle() })
		if done := now.Sessions[0].Done(); done != want || len(idle) != 1 || idle[0].Photo != rows[1].Photo.Hash {
			t.Errorf("%q: %d done, want %d; listed: %+v", words, done, want, idle)
		}
	}
}

// TestRetakeAccepted holds that a person's word that a second picture was meant
// counts, however soon it was taken.
func TestRetakeAccepted(t *testing.T) {
	records := shotsAt(t, "19:00 begin lorry clean {alone}", "19:10 5 {alone}", "19:10:32 5 {alone}", "20:00 end {alone}")
	records = append(records, written(t, 1, CardBody{Photo: fmt.Sprintf("%016d%048d", 3, 0), Cards: []string{cardText(t, "5")}}))
	if got, want := told(Fold(cardPlan, records)), "lorry/clean 19:00-20:00 measured 10"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// TestRetakenBegin holds that a session can be named by either picture of its begin
// card.
func TestRetakenBegin(t *testing.T) {
	records := shotsAt(t, "19:00 begin lorry clean {alone}", "19:00:32 begin lorry clean {alone}", "20:00 end {alone}")
	count := 7
	records = append(records, written(t, 1, CorrectBody{Session: cardSession(fmt.Sprintf("%016d%048d", 2, 0)), Count: &count}))
	if got, want := told(Fold(cardPlan, records)), "lorry/clean 19:00-20:00 measured 7"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// TestLyingBeginEndsNoRole holds that a begin card left in view does not end what
// a role card said of the photos to come.
func TestLyingBeginEndsNoRole(t *testing.T) {
	s := Fold(cardPlan, shotsAt(t, "19:00 begin lorry clean {beside}", "19:05 before {alone}", "19:06 begin lorry clean {beside}", "19:07 photo"))
	for _, p := range s.Photos[2:] {
		if p.Tags.Role != "before" || p.Tags.Stage != "clean" {
			t.Errorf("%s is tagged %+v", p.Name, p.Tags)
		}
	}
}

// TestMovedUpright holds that places are compared in pixels as they are stored,
// also of a picture that is turned to be looked at.
func TestMovedUpright(t *testing.T) {
	upright := func(where string) *Photo {
		return &Photo{Width: 900, Height: 1200, Turn: 6, Cards: []CardSeen{{Text: "x", Corners: cornersAt(t, where)}}}
	}
	for where, want := range map[string]bool{"below": true, "across": true, "nudged": false, "round": false} {
		if got := moved(upright("beside"), upright(where), "x"); got != want {
			t.Errorf("moved to %s: %v", where, got)
		}
	}
}

// TestWordsReadBack holds that the words put forward for a card are read as that
// card.
func TestWordsReadBack(t *testing.T) {
	s := Fold(cardPlan, nil)
	for _, words := range []string{"begin pilot-boat clean", "begin paint", "end", "pause", "pause lorry", "7", "runner", "runner A", "trial 3", "before", "three-quarter", "raking"} {
		c, err := ParseCard(cardText(t, words))
		if err != nil {
			t.Fatal(err)
		}
		back, err := s.CardsFrom(s.Words(c), nil)
		if err != nil || len(back) != 1 || back[0] != c {
			t.Errorf("%+v is told as %q and read as %+v, %v", c, s.Words(c), back, err)
		}
	}
}

// TestSeenAgainInAnyOrder holds that photos that come late or shuffled leave the
// state they would have left in time, wherever cards lie in them.
func TestSeenAgainInAnyOrder(t *testing.T) {
	words := []string{"photo", "begin pilot-boat clean", "begin lorry clean", "end", "pause", "5", "10", "runner A", "before", "5 & end"}
	places := []string{"{alone}", "{beside}", "{beside}", "{nudged}", "{across}"}
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 11))
		at := time.Date(2026, 3, 14, 8, 0, 0, 0, time.UTC)
		var lines []string
		for range 5 + rng.IntN(30) {
			at = at.Add([]time.Duration{0, 4 * time.Second, 30 * time.Second, 3 * time.Minute, 25 * time.Minute, 6 * time.Hour}[rng.IntN(6)])
			line := strings.Repeat("+", at.Day()-14) + at.Format("15:04:05 ") + words[rng.IntN(len(words))]
			if !strings.HasSuffix(line, "photo") {
				place := " " + places[rng.IntN(len(places))]
				line = strings.ReplaceAll(line, " & ", place+" & ") + place
			}
			lines = append(lines, line+[]string{"", "", " K2"}[rng.IntN(3)])
		}
		records := shotsAt(t, lines...)
		if rng.IntN(2) == 0 {
			i := rng.IntN(len(lines))
			records = append(records, written(t, 1, CardBody{Photo: fmt.Sprintf("%016d%048d", i+1, 0), Cards: []string{cardText(t, "5")}[:rng.IntN(2)]}))
		}
		want := withoutIDs(Fold(cardPlan, records))
		late := slices.Clone(records)
		rng.Shuffle(len(late), func(i, k int) { late[i], late[k] = late[k], late[i] })
		for i := range late {
			if late[i].Kind == "photo" {
				late[i].Seq, late[i].At = int64(i+1), time.Date(2026, 5, 1, 0, i, 0, 0, time.UTC)
			}
		}
		if got := withoutIDs(Fold(cardPlan, late)); !reflect.DeepEqual(got, want) {
			t.Fatalf("seed %d: photos in another order fold to another state\n%s\n\n%s\n\n%s", seed, strings.Join(lines, "\n"), told(want), told(got))
		}
	}
}
