// Tests that what the program proposes to type can be typed, and does what it is
// proposed for.

package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
)

// desk is a journal on disk and the moment it is now.
type desk struct {
	*testing.T
	dir string
	j   *journal.Journal
	now time.Time
	n   int // photos so far
}

func newDesk(t *testing.T) *desk {
	d := &desk{T: t, dir: filepath.Join(t.TempDir(), "bench"), now: clock("2026-03-14 23:30")}
	if err := journal.Create(d.dir, "bench", "UTC", d.now); err != nil {
		t.Fatal(err)
	}
	d.write("builds/pilot-boat/build.md", "---\nrunners: {A: 24, B: 12}\nstages: [inspect, cut, clean, paint]\n---\n")
	d.write("builds/lorry/build.md", "---\nrunners: {A: 4}\nstages: [cut, clean]\n---\n")
	d.open()
	return d
}

func (d *desk) write(name, text string) {
	d.Helper()
	path := filepath.Join(d.dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		d.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		d.Fatal(err)
	}
}

func (d *desk) open() {
	d.Helper()
	var err error
	if d.j, err = journal.OpenAt(d.dir, func() time.Time { return d.now }); err != nil {
		d.Fatal(err)
	}
}

// clock is a moment in UTC.
func clock(text string) time.Time {
	t, err := time.Parse("2006-01-02 15:04", text)
	if err != nil {
		panic(err)
	}
	return t
}

// record adds a record as another device, or an older version, may have written
// it: past the door, which would refuse some of these.
func (d *desk) record(body journal.Body) string {
	d.Helper()
	r, err := d.j.Append(body)
	if err != nil {
		d.Fatal(err)
	}
	return r.ID()
}

// session is one by timer.
func (d *desk) session(build, stage, from, to string) string {
	d.Helper()
	id := d.record(journal.BeginBody{Build: build, Stage: stage, Kind: stage, Start: clock(from)})
	if to != "" {
		d.record(journal.EndBody{Session: id, End: clock(to)})
	}
	return id
}

// photo is a kept photo, with cards that say the words, "" = none.
func (d *desk) photo(at, words string, change func(*journal.PhotoBody)) *journal.Photo {
	d.Helper()
	d.n++
	data := fmt.Appendf(nil, "picture %d", d.n)
	hash := fmt.Sprintf("%x", sha256.Sum256(data))
	path := fmt.Sprintf("photos/2026/03/%s-%s.jpg", clock(at).Format("20060102-150405"), hash[:8])
	d.write(path, string(data))
	b := journal.PhotoBody{
		Hash: hash, Path: path, Name: fmt.Sprintf("p%d.jpg", d.n), Size: int64(len(data)), Format: "jpeg", Width: 4000, Height: 3000,
		Camera:  journal.Camera{Make: "Tarrow", Model: "T-24"},
		Instant: journal.Instant{At: clock(at), Wall: clock(at).Format("2006:01:02 15:04:05"), Source: "DateTimeOriginal", Offset: "stated"},
		Tags:    journal.Tags{Build: "pilot-boat", Stage: "clean"}, Why: reason.WhysOf(map[string]string{"build": "it lay in the folder pilot-boat", "stage": "it lay in the folder clean"}),
	}
	if words != "" {
		cards, err := d.j.State.CardsFrom(words, d.j.State.Build("pilot-boat"))
		if err != nil {
			d.Fatal(err)
		}
		for i, c := range cards {
			text, err := c.Text()
			if err != nil {
				d.Fatal(err)
			}
			x := float64(300*i + 100*d.n)
			b.Cards = append(b.Cards, journal.CardSeen{Text: text, Corners: [8]float64{x, 100, x + 200, 100, x + 200, 300, x, 300}})
		}
	}
	if change != nil {
		change(&b)
	}
	d.record(b)
	p := d.j.State.FindPhoto(hash)
	if len(p) != 1 {
		d.Fatalf("no photo %s", hash)
	}
	return p[0]
}

// types types a command line, in a folder that is not the journal's.
func (d *desk) types(line string) (code int, said string) {
	d.Helper()
	var out bytes.Buffer
	args := append([]string{"--journal", d.dir}, typedWords(line)[1:]...)
	code = run(context.Background(), args, &out, &out, func() time.Time { return d.now })
	return code, out.String()
}

// typedWords are the words of a command line as a shell reads them, as far as
// proposed commands go.
func typedWords(line string) []string {
	var words []string
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(line, -1) {
		words = append(words, m[1]+m[2])
	}
	return words
}

// filled puts what a person knows in the place of the words in capitals.
func filled(line string, known map[string]string) string {
	for word, value := range known {
		line = regexp.MustCompile(`\b`+word+`\b`).ReplaceAllLiteralString(line, value)
	}
	return line
}

// Each remark names what to type, and typing it ends the remark.
func TestRemediesEndTheirRemarks(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		so     func(d *desk)
		ask    string            // what tells it
		remark string            // a pattern
		remedy string            // a pattern of what is proposed
		known  map[string]string // what the person knows
	}{
		{"sessions over each other", func(d *desk) {
			d.session("pilot-boat", "clean", "2026-03-14 19:00", "2026-03-14 20:00")
			d.session("lorry", "cut", "2026-03-14 19:40", "2026-03-14 20:10")
		}, "check", "lie over each other", `rakelight correct \S+ --worked 40m`, nil},
		{"sessions over each other from the beginning", func(d *desk) {
			d.session("pilot-boat", "clean", "2026-03-14 19:00", "2026-03-14 20:00")
			d.session("lorry", "cut", "2026-03-14 19:00", "2026-03-14 20:10")
		}, "check", "lie over each other", `rakelight retract \S+`, nil},
		{"a card's session over another", func(d *desk) {
			d.photo("2026-03-14 20:00", "begin clean of pilot-boat", nil)
			d.photo("2026-03-14 20:40", "end", nil)
			d.record(journal.WorkBody{Build: "lorry", Stage: "cut", Kind: "cut", Date: "2026-03-14", Start: clock("2026-03-14 20:00"), Minutes: 40, Known: journal.Remembered})
		}, "check", "lie over each other", `rakelight cards --ignore \S+`, nil},
		{"more by number than there is", func(d *desk) {
			id := d.session("lorry", "cut", "2026-03-14 19:00", "2026-03-14 20:00")
			d.record(journal.DoneBody{Session: id, Build: "lorry", Stage: "cut", Count: 9, At: clock("2026-03-14 19:30")})
		}, "check", "9 parts counted, and there are only 4", `rakelight correct \S+ --count N`, map[string]string{"N": "3"}},
		{"more by name than there is", func(d *desk) {
			id := d.session("lorry", "cut", "2026-03-14 19:00", "2026-03-14 20:00")
			d.record(journal.DoneBody{Session: id, Build: "lorry", Stage: "cut", Parts: []journal.PartRef{{Runner: "A", Number: "1", Count: 6}}, At: clock("2026-03-14 19:30")})
		}, "check", "6 parts counted, and there are only 4", `rakelight reopen lorry PARTS`, map[string]string{"PARTS": "A1x5"}},
		{"hours without a photo, away", func(d *desk) {
			d.photo("2026-03-14 17:00", "begin clean of pilot-boat", nil)
			d.photo("2026-03-14 20:30", "end", nil)
		}, "check", "no photo and no count", `rakelight correct card-\S+ --worked TIME`, map[string]string{"TIME": "50m"}},
		{"hours without a photo, at work", func(d *desk) {
			d.photo("2026-03-14 17:00", "begin clean of pilot-boat", nil)
			d.photo("2026-03-14 20:30", "end", nil)
		}, "check", "no photo and no count", `rakelight correct card-\S+ --yes`, nil},
		{"a timer overnight that ended", func(d *desk) {
			d.session("pilot-boat", "clean", "2026-03-13 19:00", "2026-03-14 08:00")
		}, "status", "ran 13 h overnight", `rakelight correct \S+ --worked "1h20"`, nil},
		{"a timer that was forgotten", func(d *desk) {
			d.session("pilot-boat", "clean", "2026-03-14 10:00", "")
		}, "status", "was the timer forgotten", `rakelight off --at "2026-03-14 11:20"`, nil},
		{"a timer that was forgotten after a photo", func(d *desk) {
			id := d.session("pilot-boat", "clean", "2026-03-14 10:00", "")
			d.record(journal.DoneBody{Session: id, Build: "pilot-boat", Stage: "clean", Count: 2, At: clock("2026-03-14 10:20")})
			d.photo("2026-03-14 10:50", "", nil)
			d.photo("2026-03-14 22:50", "", nil)
		}, "status", "was the timer forgotten", `rakelight off --at "2026-03-14 10:50"`, nil},
		{"the last stage is done", func(d *desk) {
			id := d.session("lorry", "clean", "2026-03-14 19:00", "2026-03-14 20:00")
			d.record(journal.DoneBody{Session: id, Build: "lorry", Stage: "clean", Count: 4, At: clock("2026-03-14 19:30")})
		}, "builds", "lorry seems to be finished", `rakelight finish lorry 2026-03-14`, nil},
		{"a photo says finished", func(d *desk) {
			d.photo("2026-03-14 19:00", "", func(b *journal.PhotoBody) { b.Tags.Role = "finished" })
		}, "check", "pilot-boat seems to be finished", `rakelight finish pilot-boat 2026-03-14`, nil},
		{"a finish long after the last sign of work", func(d *desk) {
			d.photo("2026-02-10 19:00", "", nil)
		}, "finish pilot-boat", "the last sign of work on pilot-boat is of 2026-02-10", `rakelight finish pilot-boat 2026-02-10`, nil},
		{"a finish today, long after the last sign of work", func(d *desk) {
			d.session("pilot-boat", "clean", "2026-02-27 19:00", "2026-02-27 20:00")
		}, "finish pilot-boat", "the last sign of work on pilot-boat is of 2026-02-27", `rakelight finish pilot-boat today`, nil},
		{"the file of a photo that was taken back", func(d *desk) {
			p := d.photo("2026-03-14 19:00", "", nil)
			d.record(journal.RetractBody{Record: p.Record})
		}, "check", "its record was taken back", `rakelight retract \S+`, nil},
		{"parts of no session", func(d *desk) {
			d.record(journal.DoneBody{Build: "lorry", Stage: "clean", Count: 4, At: clock("2026-03-14 19:30")})
		}, "check", "no session of lorry was running", `rakelight retract \S+`, nil},
		{"a record of what is not here", func(d *desk) {
			d.record(journal.EndBody{Session: "bench-0000/7", End: clock("2026-03-14 19:30")})
		}, "check", "which is not here", `rakelight retract \S+`, nil},
		{"a clock ahead that began a session in the future", func(d *desk) {
			d.photo("2026-03-15 19:00", "begin clean of pilot-boat", nil)
		}, "done 3", "began on 2026-03-15 19:00, after", `rakelight clock --photo \S+ --really TIME`, map[string]string{"TIME": `"2026-03-14 23:00" --yes`}},
		{"a role that lapsed", func(d *desk) {
			d.photo("2026-03-14 19:00", "begin clean of pilot-boat, before", nil)
			d.photo("2026-03-14 19:45", "", nil)
		}, "check --photos", "the card before held until 19:00, and no longer after 45 min without a photo", `rakelight tag \S+ --role before`, nil},
		{"a role that lapsed, and was another", func(d *desk) {
			d.photo("2026-03-14 19:00", "begin clean of pilot-boat, before", nil)
			d.photo("2026-03-14 19:45", "", nil)
		}, "check --photos", "the card before held until 19:00", `rakelight tag \S+ --role progress`, nil},
		{"a photo to sort", func(d *desk) {
			d.photo("2026-03-14 19:00", "", func(b *journal.PhotoBody) { b.Tags, b.Why = journal.Tags{}, nil })
		}, "check --photos", "without a build or a stage", `rakelight tag \S+ BUILD STAGE`, map[string]string{"BUILD": "lorry", "STAGE": "cut"}},
		{"a place that is a guess", func(d *desk) {
			d.photo("2026-03-14 19:00", "", func(b *journal.PhotoBody) { b.Guess = true })
		}, "check --photos", "whose place is a guess", `rakelight tag \S+ pilot-boat clean`, nil},
		{"a guess of a build that is not here", func(d *desk) {
			d.photo("2026-03-14 19:00", "", func(b *journal.PhotoBody) { b.Guess, b.Tags.Build = true, "seaplane" })
		}, "check --photos", "whose place is a guess", `rakelight tag \S+ BUILD STAGE`, map[string]string{"BUILD": "lorry", "STAGE": "cut"}},
		{"parts that a stage lacks", func(d *desk) {
			d.record(journal.CheckedBody{Noted: journal.Noted{Build: "pilot-boat", Parts: []journal.PartRef{{Runner: "A", Number: "5"}, {Runner: "B", Number: "2"}}, At: clock("2026-03-14 19:00")}, State: "missing"})
		}, "on pilot-boat cut", "parts are lacking: A5,B2 missing", `rakelight runners "A5,B2" come --build pilot-boat`, nil},
		{"gates of parts that were fitted dry", func(d *desk) {
			d.write("builds/lorry/build.md", "---\nrunners: {A: 4}\nstages: [cut, dry-fit]\n---\n")
			d.open()
			d.session("lorry", "dry-fit", "2026-03-14 22:30", "")
			d.types("rakelight done A1")
		}, "prep --build lorry", "not said whether the gates were cut together: A1", `rakelight prep A1 gates-apart --build lorry`, nil},
		{"pegs of parts that were fitted dry", func(d *desk) {
			d.write("builds/lorry/build.md", "---\nrunners: {A: 4}\nstages: [cut, dry-fit]\n---\n")
			d.open()
			d.session("lorry", "dry-fit", "2026-03-14 22:30", "")
			d.types("rakelight done A1")
		}, "prep --build lorry", "not said which pegs were cut: A1", `rakelight prep A1 pegs TEXT --build lorry`, map[string]string{"TEXT": `"none shows"`}},
		{"parts without glue that are assembled", func(d *desk) {
			d.write("builds/lorry/build.md", "---\nrunners: {A: 4}\nstages: [cut, assemble]\n---\n")
			d.open()
			d.record(journal.HoldBody{Noted: journal.Noted{Build: "lorry", Parts: []journal.PartRef{{Runner: "A", Number: "1"}}, At: clock("2026-03-14 19:00")}, Is: "unglued"})
			d.session("lorry", "assemble", "2026-03-14 22:30", "")
		}, "done A1x2", "A1 is noted as dry-fitted, not glued", `rakelight release \S+`, nil},
		{"what has cured", func(d *desk) {
			d.record(journal.HoldBody{Noted: journal.Noted{Build: "lorry", Parts: []journal.PartRef{{Runner: "A", Number: "1"}}, At: clock("2026-03-14 19:00")}, Is: "curing", Hours: 1})
		}, "hold", "that time has passed", `rakelight release \S+`, nil},
		{"a count while nothing ran", func(d *desk) { d.photo("2026-03-14 19:00", "5 parts", nil) },
			"check --photos", "no session was running|does not fit", `rakelight cards --ignore \S+`, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := newDesk(t)
			c.so(d)
			_, before := d.types("rakelight " + c.ask)
			if !regexp.MustCompile(c.remark).MatchString(before) {
				t.Fatalf("it is not said:\n%s", before)
			}
			remedy := regexp.MustCompile(c.remedy).FindString(before)
			if remedy == "" {
				t.Fatalf("it is not proposed:\n%s", before)
			}
			remedy = strings.TrimRight(filled(remedy, c.known), ",;")
			if code, said := d.types(remedy); code != exitDone {
				t.Fatalf("%s: exit %d: %s", remedy, code, said)
			}
			if _, after := d.types("rakelight " + c.ask); regexp.MustCompile(c.remark).MatchString(after) {
				t.Errorf("after %s it is still said:\n%s", remedy, after)
			}
		})
	}
}

// tinyJPEG is a picture of one color.
func tinyJPEG(t *testing.T, size int) string {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, size, size)), nil); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// rich is a journal in which there is much to do.
func rich(t *testing.T) *desk {
	d := newDesk(t)
	at := func(day, hour int) string { return fmt.Sprintf("2026-03-%02d %02d:00", day, hour) }
	twice := reason.Readings(reason.Twice, clock("2026-03-01 01:30"), clock("2026-03-01 01:30"), clock("2026-03-01 02:30"))
	loose := func(b *journal.PhotoBody) { b.Tags, b.Why = journal.Tags{}, nil }
	d.photo(at(1, 10), "", loose)
	d.photo(at(1, 11), "", func(b *journal.PhotoBody) { b.Guess = true })
	d.photo(at(1, 12), "", func(b *journal.PhotoBody) { b.Guess, b.Tags.Stage = true, "polish" })
	d.photo(at(1, 13), "", func(b *journal.PhotoBody) {
		b.Instant.Source, b.Instant.Doubts = journal.FileTime, reason.Doubts{{Is: reason.FileTime}}
	})
	d.photo(at(1, 14), "", func(b *journal.PhotoBody) {
		loose(b)
		b.Instant.Source, b.Instant.Doubts, b.Camera = journal.FileTime, reason.Doubts{{Is: reason.FileTime}}, journal.Camera{}
	})
	d.photo(at(1, 15), "", func(b *journal.PhotoBody) { b.Instant.Doubts = reason.Doubts{twice} })
	d.photo(at(1, 16), "", func(b *journal.PhotoBody) {
		b.Instant.Doubts, b.Camera = reason.Doubts{twice}, journal.Camera{}
	})
	d.photo(at(1, 17), "", func(b *journal.PhotoBody) { b.Instant.Doubts = reason.Doubts{{Is: reason.NeverSet}} })
	d.photo(at(1, 18), "", func(b *journal.PhotoBody) {
		b.Instant.Doubts, b.Instant.Source, b.Instant.Wall = reason.Doubts{{Is: reason.NeverSet}}, "GPS", ""
	})
	for i, words := range []string{"end", "5 parts", "runner A", "begin clean of pilot-boat", "runner C", "runner", "pause of lorry", "end", "begin cut of lorry", "begin cut of lorry", "3 parts", "99 parts", "before"} {
		d.photo(at(2+i, 19), words, nil)
	}
	d.photo(at(20, 19), "5 parts, end", func(b *journal.PhotoBody) {
		b.Instant.Source, b.Instant.Doubts = journal.FileTime, reason.Doubts{{Is: reason.FileTime}}
	})
	d.photo(at(21, 19), "begin clean of pilot-boat", func(b *journal.PhotoBody) {
		b.Cards[0].Text = strings.Replace(b.Cards[0].Text, b.Cards[0].Text[2:4], "zz", 1)
	})
	d.now = clock("2026-03-25 10:00")
	d.write("inbox/new one.jpg", tinyJPEG(t, 32))
	d.write("inbox/cut.jpg", tinyJPEG(t, 48)[:200])
	d.write("inbox/notes.txt", "masking tape")
	d.write("inbox/gone.jpg.xmp", `<x:xmpmeta xmlns:x="adobe:ns:meta/"></x:xmpmeta>`)
	d.write("inbox/aside/by hand.jpg", tinyJPEG(t, 64))
	return d
}

// No command that check --photos proposes fails, wherever it is typed.
func TestProposedCommandsRun(t *testing.T) {
	t.Parallel()
	d := rich(t)
	code, list := d.types("rakelight check --photos --all")
	if code != exitDone {
		t.Fatalf("exit %d: %s", code, list)
	}
	known := map[string]string{
		"BUILD": "lorry", "STAGE": "cut", "TIME": `"2026-03-01 19:32:05"`, "DAY, HOW LONG": "2026-03-01, 40 min", "NUMBER": "3", "LETTER": "A", "WHEN": `"spring 2019"`,
		"WORDS": "end",
	}
	var commands []string
	for line := range strings.Lines(list) {
		if command, ok := strings.CutPrefix(strings.TrimSpace(line), "or "); strings.HasPrefix(command, "rakelight ") && (ok || strings.HasPrefix(line, "      rakelight ")) {
			commands = append(commands, command)
		}
	}
	kinds := map[string]bool{}
	for _, command := range commands {
		kinds[strings.Join(strings.Fields(command)[:2], " ")] = true
		one := &desk{T: t, dir: filepath.Join(t.TempDir(), "bench"), now: d.now}
		if err := os.CopyFS(one.dir, os.DirFS(d.dir)); err != nil {
			t.Fatal(err)
		}
		if code, said := one.types(filled(command, known)); code != exitDone {
			t.Errorf("%s\nas %s: exit %d: %s", command, filled(command, known), code, said)
		}
	}
	if len(commands) < 25 || len(kinds) < 5 {
		t.Errorf("only %d commands of %v were proposed:\n%s", len(commands), kinds, list)
	}
	t.Logf("%d commands", len(commands))
	if testing.Verbose() {
		t.Log(list)
	}
}

// status, check --photos and the pages say one number of photos to sort.
func TestOneNumberToSort(t *testing.T) {
	t.Parallel()
	d := rich(t)
	number := regexp.MustCompile(`(?m)^(\d+) photos to sort$`)
	_, status := d.types("rakelight status")
	_, check := d.types("rakelight check --photos")
	a, b := number.FindStringSubmatch(status), number.FindStringSubmatch(check)
	if a == nil || b == nil || a[1] != b[1] || a[1] == "0" {
		t.Errorf("status: %v, check --photos: %v\n%s\n%s", a, b, status, check)
	}
}

// A session that cards began is mended as any other.
func TestCorrectBySessionOfCards(t *testing.T) {
	t.Parallel()
	d := newDesk(t)
	p := d.photo("2026-03-14 19:00", "begin clean of pilot-boat", nil)
	d.photo("2026-03-14 19:40", "runner B", nil)
	d.photo("2026-03-14 20:30", "end", nil)
	id := "card-" + p.Hash[:16]
	code, said := d.types("rakelight correct " + id + ` --begin 19:10 --end 20:20 --break "19:50 to 20:00" --take B4 --add A3 --class small --note "by lamp"`)
	want := "2026-03-14 19:10 to 20:20, 1 h measured, break 19:50 to 20:00, 12 parts done (A3, B1, B2, B3, B5, B6, B7, B8, B9, B10, B11, B12), class: small, note: by lamp"
	if code != exitDone || !strings.Contains(said, want) {
		t.Errorf("exit %d: %s", code, said)
	}
	if code, said := d.types("rakelight check"); code != exitDone || strings.Contains(said, "remark") {
		t.Errorf("exit %d: %s", code, said)
	}
}
