// Tests of the command line, as scripts: each testdata/*.txtar holds commands
// and the files they need. Scripts may set RAKELIGHT_NOW, the time the program
// takes for now, and draw photos with the photo command.

package main

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"image"
	"os"
	"os/signal"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"github.com/spf13/pflag"

	"rakelight/cmd/rakelight/demo"
	"rakelight/journal"
	"rakelight/journal/disk/scratch"
	"rakelight/journal/record"
	"rakelight/media/card"
	"rakelight/media/card/shot"
	"rakelight/media/clip/drawn"
	"rakelight/media/scene"
	"rakelight/render/headless"
	"rakelight/render/judge"
)

var updateScripts = pflag.Bool("update", false, "rewrite the scripts' expected output")

func TestMain(m *testing.M) {
	encoderStandIn()
	testscript.Main(withShelf{headless.Tests{M: m}}, map[string]func(){
		"rakelight": func() {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
			defer stop()
			os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr, scriptNow()))
		},
	})
}

// shelf is a folder for what several tests look at. It lives as long as they run.
var shelf string

// withShelf runs the tests with a shelf, and with their temporary folders in memory where
// that can be. The photos of the demo are drawn 840 pixels wide, with
// RAKELIGHT_DEMO_WHOLE=1 as a person gets them.
type withShelf struct{ headless.Tests }

func (tests withShelf) Run() int {
	defer scratch.Use()()
	if os.Getenv("RAKELIGHT_DEMO_WHOLE") == "" {
		demo.PhotoWidth = 840
	}
	var err error
	if shelf, err = os.MkdirTemp("", "rakelight-shelf-"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(shelf)
	return tests.Tests.Run()
}

// scriptNow is the clock of a script: it starts at RAKELIGHT_NOW, if that is set.
func scriptNow() func() time.Time {
	at, err := time.Parse(time.RFC3339, os.Getenv("RAKELIGHT_NOW"))
	if err != nil {
		return time.Now
	}
	start := time.Now()
	return func() time.Time { return at.Add(time.Since(start)) }
}

func TestScripts(t *testing.T) {
	t.Parallel() // beside the demo's pages, which take as long
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       *updateScripts,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"photo":     photoCommand,
			"clip":      clipCommand,
			"film":      filmCommand,
			"series":    seriesCommand,
			"cardphoto": cardPhotoCommand,
			"twocards":  twoCardsCommand,
			"wholepage": wholePageCommand,
			"cut":       cutCommand,
			"flip":      flipCommand,
			"evenings":  eveningsCommand,
			"grow":      growCommand,
			"old":       oldCommand,
			"grown":     grownCommand,
			"nowhere":   nowhereCommand,
			"pipe":      pipeCommand,
			"fillin":    fillIn,
			"keep":      keepCommand,
			"line":      lineCommand,
			"waitfor":   waitFor,
			"waitgone":  waitGone,
		},
	})
}

// lineCommand adds a record to a records file as another device would have
// written it: line FILE OF '{"at":…}'. HASH and SIZE stand for those of the file
// OF.
func lineCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: line FILE OF JSON")
	}
	of := []byte(ts.ReadFile(args[1]))
	text := strings.NewReplacer("HASH", fmt.Sprintf("%x", sha256.Sum256(of)), "SIZE", fmt.Sprint(len(of))).Replace(args[2])
	var r record.Record
	ts.Check(json.Unmarshal([]byte(text), &r))
	line, err := record.EncodeLine(r)
	ts.Check(err)
	path := ts.MkAbs(args[0])
	ts.Check(os.MkdirAll(filepath.Dir(path), 0o755))
	f, err := os.OpenFile(path, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	ts.Check(err)
	_, err = f.Write(append(line, '\n'))
	ts.Check(err)
	ts.Check(f.Close())
}

// photoCommand draws a photo: photo PATH 2026-03-14T19:32:05 [OFFSET [LAT LON]], or
// photo PATH none, whose file states no date. Each path makes a different picture.
func photoCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: photo PATH WALLTIME [OFFSET [LAT LON]]")
	}
	var at time.Time
	var err error
	if args[1] != "none" {
		at, err = time.Parse("2006-01-02T15:04:05", args[1])
		ts.Check(err)
	}
	exif := scene.Exif{Make: "Tarrow", Model: "T-24", Serial: "0042817", At: at}
	if len(args) > 2 {
		exif.Offset = args[2]
	}
	if len(args) > 4 {
		exif.HasGPS = true
		exif.Lat, err = strconv.ParseFloat(args[3], 64)
		ts.Check(err)
		exif.Lon, err = strconv.ParseFloat(args[4], 64)
		ts.Check(err)
	}
	img := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for i := range img.Pix {
		img.Pix[i] = byte(i*7) ^ byte(len(args[0])*31+at.Second()*3+at.Minute())
	}
	path := ts.MkAbs(args[0])
	ts.Check(os.MkdirAll(filepath.Dir(path), 0o755))
	f, err := os.Create(path)
	ts.Check(err)
	ts.Check(scene.WriteJPEG(f, img, exif))
	ts.Check(f.Close())
}

// clipCommand makes a clip: clip PATH WALLTIME, with what its header shows; a third
// word is QuickTime's own date with its zone, or telemetry for a box of it. Each
// path makes a different file; all tell a make and a place.
func clipCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 || len(args) > 3 {
		ts.Fatalf("usage: clip PATH WALLTIME [DATE|telemetry]")
	}
	at, err := time.Parse("2006-01-02T15:04:05", args[1])
	ts.Check(err)
	c := drawn.Clip{Header: at, Seed: byte(len(args[0])*31 + at.Second()), Keys: [][2]string{
		{"com.apple.quicktime.make", "Tarrow"}, {"com.apple.quicktime.location.ISO6709", "+47.3769+008.5417/"}}}
	switch {
	case len(args) == 3 && args[2] == "telemetry":
		c.Boxes = append(c.Boxes, drawn.Box("gps ", make([]byte, 8)))
	case len(args) == 3:
		c.Keys = append(c.Keys, [2]string{"com.apple.quicktime.creationdate", args[2]})
	}
	path := ts.MkAbs(args[0])
	ts.Check(os.MkdirAll(filepath.Dir(path), 0o755))
	ts.Check(os.WriteFile(path, c.Bytes(), 0o644))
}

// seriesCommand draws photos at a steady interval: series FOLDER FROM STEP COUNT
// [OFFSET].
func seriesCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 4 {
		ts.Fatalf("usage: series FOLDER WALLTIME STEP COUNT [OFFSET]")
	}
	at, err := time.Parse("2006-01-02T15:04:05", args[1])
	ts.Check(err)
	step, err := time.ParseDuration(args[2])
	ts.Check(err)
	n, err := strconv.Atoi(args[3])
	ts.Check(err)
	for i := range n {
		name := fmt.Sprintf("%s/f%03d.jpg", args[0], i)
		wall := at.Add(time.Duration(i) * step).Format("2006-01-02T15:04:05")
		photoCommand(ts, false, append([]string{name, wall}, args[4:]...))
	}
}

// cardPhotoCommand draws a photo of a bench card: cardphoto PATH WALLTIME begin
// BUILD STAGE, or count N, or end. With the word beside before these the card
// leaves room for work, with left or right it lies in a corner; with sheet MARK
// it bears the mark of its sheet.
func cardPhotoCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("usage: cardphoto PATH WALLTIME [beside|left|right] [sheet MARK] begin BUILD STAGE | count N | break | end")
	}
	placed := shot.Placed{Share: 0.5, X: 0.5, Y: 0.5, Turn: 0.1}
	switch args[2] {
	case "beside":
		placed.Share = 0.34
	case "left":
		placed.Share, placed.X, placed.Y = 0.3, 0.2, 0.25
	case "right":
		placed.Share, placed.X, placed.Y = 0.3, 0.8, 0.75
	}
	if placed.Share < 0.5 {
		args = slices.Delete(args, 2, 3)
	}
	mark := ""
	if len(args) > 4 && args[2] == "sheet" {
		mark = args[3]
		args = slices.Delete(args, 2, 4)
	}
	at, err := time.Parse("2006-01-02T15:04:05", args[1])
	ts.Check(err)
	c := journal.Card{Says: journal.EndCard}
	switch {
	case args[2] == "begin" && len(args) == 5:
		c = journal.Card{Says: journal.BeginCard, Build: journal.BuildKey(args[3]), Stage: journal.StageKey(args[4])}
	case args[2] == "count" && len(args) == 4:
		n, err := strconv.Atoi(args[3])
		ts.Check(err)
		c = journal.Card{Says: journal.CountCard, Count: n}
	case args[2] == "break":
		c = journal.Card{Says: journal.BreakCard}
	}
	c.Sheet = mark
	placed.Face = card.Face{Card: c, Words: c.String()}
	drawCards(ts, args[0], at, shot.Shot{Width: 800, Height: 600, Cards: []shot.Placed{placed}})
}

// twoCardsCommand draws a photo of two cards that lie side by side: twocards PATH
// WALLTIME PERCENT. The second, of sheet M2AB, came out of the printer at so many
// percent of the first, of sheet K7QF.
func twoCardsCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: twocards PATH WALLTIME PERCENT")
	}
	at, err := time.Parse("2006-01-02T15:04:05", args[1])
	ts.Check(err)
	percent, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	left, right := journal.Card{Says: journal.EndCard, Sheet: "K7QF"}, journal.Card{Says: journal.CountCard, Count: 5, Sheet: "M2AB"}
	drawCards(ts, args[0], at, shot.Shot{Width: 1200, Height: 900, Cards: []shot.Placed{
		{Face: card.Face{Card: left, Words: left.String()}, Share: 0.28, X: 0.25, Y: 0.5},
		{Face: card.Face{Card: right, Words: right.String()}, Share: 0.28 * percent / 100, X: 0.75, Y: 0.5, Turn: 0.2},
	}})
}

// wholePageCommand draws a photo of a page of cards of sheet K7QF that is not cut
// yet, on A4: wholepage PATH WALLTIME PERCENT, as it came out of the printer.
func wholePageCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: wholepage PATH WALLTIME PERCENT")
	}
	at, err := time.Parse("2006-01-02T15:04:05", args[1])
	ts.Check(err)
	percent, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	set := card.SetOf(nil)[:6]
	for i := range set {
		set[i].Card.Sheet = "K7QF"
	}
	page := &shot.Page{Faces: set, Width: 210, Height: 297, Printed: percent / 100, Left: 105 - 0.95*percent, Top: 10, Words: true, Share: 0.85, Tilt: 0.1}
	drawCards(ts, args[0], at, shot.Shot{Width: 1200, Height: 1600, Bench: "wood", Page: page})
}

// drawCards writes a photo of cards at a path.
func drawCards(ts *testscript.TestScript, path string, at time.Time, s shot.Shot) {
	s.Seed, s.Noise = uint64(at.Unix()), 2
	img, err := s.Draw()
	ts.Check(err)
	f, err := os.Create(ts.MkAbs(path))
	ts.Check(err)
	ts.Check(scene.WriteJPEG(f, img, scene.Exif{Make: "Tarrow", Model: "T-24", Serial: "0042817", At: at}))
	ts.Check(f.Close())
}

// packData finds the pairs in a pack.
var packData = regexp.MustCompile(`(?s)<script type="application/json" id="data">(.*?)</script>`)

// fillIn answers the first pairs of a pack: fillin PACK OUT SHEET JUDGE N OUTCOME….
// The outcomes come round and round.
func fillIn(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 6 {
		ts.Fatalf("usage: fillin PACK OUT SHEET JUDGE N OUTCOME…")
	}
	found := packData.FindStringSubmatch(ts.ReadFile(args[0]))
	if found == nil {
		ts.Fatalf("%s holds no pairs", args[0])
	}
	var data struct {
		Pack  string
		Pairs []struct{ ID string }
	}
	ts.Check(json.Unmarshal([]byte(found[1]), &data))
	n, err := strconv.Atoi(args[4])
	ts.Check(err)
	a := judge.Answers{Pack: data.Pack, Sheet: args[2], Judge: args[3], Of: len(data.Pairs)}
	for i, p := range data.Pairs[:min(n, len(data.Pairs))] {
		a.Given = append(a.Given, journal.PackAnswer{Pair: p.ID, Outcome: args[5:][i%len(args[5:])]})
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(a.Text()), 0o644))
}

// keepCommand keeps what a pattern's group found in the last output: keep NAME
// PATTERN.
func keepCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: keep NAME PATTERN")
	}
	found := regexp.MustCompile(args[1]).FindStringSubmatch(ts.ReadFile("stdout"))
	if len(found) != 2 {
		ts.Fatalf("the output has no %s", args[1])
	}
	ts.Setenv(args[0], found[1])
}

// deadline is how long a script waits for the watch: many times what it takes.
const deadline = 60 * time.Second

// waitFor waits until a file is there: waitfor PATH [PATTERN in it].
func waitFor(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 || len(args) > 2 {
		ts.Fatalf("usage: waitfor PATH [PATTERN]")
	}
	pattern := regexp.MustCompile(".*")
	if len(args) == 2 {
		pattern = regexp.MustCompile(args[1])
	}
	await(ts, args[0], func(data []byte, err error) bool { return err == nil && pattern.Match(data) })
}

// waitGone waits until a file is gone: waitgone PATH.
func waitGone(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: waitgone PATH")
	}
	await(ts, args[0], func(_ []byte, err error) bool { return os.IsNotExist(err) })
}

func await(ts *testscript.TestScript, path string, good func([]byte, error) bool) {
	for end := time.Now().Add(deadline); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if good(os.ReadFile(ts.MkAbs(path))) {
			return
		}
	}
	ts.Fatalf("waited %v for %s", deadline, path)
}

// cutCommand shortens a file to half, as a copy that broke off does.
func cutCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: cut PATH")
	}
	path := ts.MkAbs(args[0])
	info, err := os.Stat(path)
	ts.Check(err)
	ts.Check(os.Truncate(path, info.Size()/2))
}

// flipCommand turns one bit in the middle of a file over, as an old disk does.
func flipCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: flip PATH")
	}
	path := ts.MkAbs(args[0])
	data := []byte(ts.ReadFile(path))
	data[len(data)/2] ^= 0x10
	ts.Check(os.WriteFile(path, data, 0o644))
}

// Every command has a line, a help text that shows its shape and an example.
func TestEveryCommandHasHelp(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range commands {
		if c.line == "" || seen[c.name] {
			t.Errorf("%s: no line, or named twice", c.name)
		}
		seen[c.name] = true
		want := fmt.Sprintf("Usage: rakelight %s", c.name)
		if len(c.usage) < len(want) || c.usage[:len(want)] != want {
			t.Errorf("%s: its help begins with %.40q, want %q", c.name, c.usage, want)
		}
	}
}
