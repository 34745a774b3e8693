// Real kills: a process that takes photos in is killed at random moments and
// started again, until all is done.

package inbox

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// Set in the environment of the process to be killed: the journal, and how it
// takes photos in.
const (
	killDir = "RAKELIGHT_KILL_DIR"
	killHow = "RAKELIGHT_KILL_HOW" // "take", "watch", or either with " slowly": then nothing goes for good
)

// TestTakesUntilKilled is no test of its own: it is the process that TestKills
// kills.
func TestTakesUntilKilled(t *testing.T) {
	dir := os.Getenv(killDir)
	if dir == "" {
		t.Skip("run by TestKills")
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	fmt.Println("\nopen")
	opts := Options{Settle: 5 * time.Millisecond, Poll: 2 * time.Millisecond, Leave: 20 * time.Millisecond, NoEvents: true, Batch: 4}
	how, slowly := strings.CutSuffix(os.Getenv(killHow), " slowly")
	if slowly {
		opts.Leave = time.Hour
	}
	if how == "watch" {
		_ = New(j, opts).Watch(context.Background(), func(Outcome) {})
		return
	}
	if _, err := New(j, opts).TakeAll(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
}

// TestKills drops pictures, kills takes and watches at random moments, and drops
// some of the pictures again meanwhile. In the end each picture is kept exactly
// once, byte for byte, by one record, and nothing else lies anywhere.
// RAKELIGHT_KILLS sets how often (12).
func TestKills(t *testing.T) {
	kills := 12
	if n, err := strconv.Atoi(os.Getenv("RAKELIGHT_KILLS")); err == nil {
		kills = n
	}
	const seed = 5
	t.Logf("%d kills, seed %d", kills, seed)
	rng := rand.New(rand.NewPCG(seed, uint64(kills)))
	j := bench(t)
	drops := killPictures(t)
	names := slices.Sorted(maps.Keys(drops))
	damaged := ""
	cut, torn := 0, 0 // kills after which something was to be cleared; those that met a copy half made
	for n := range kills {
		for range 4 {
			name := names[rng.IntN(len(names))]
			drop(t, j, name, drops[name])
		}
		if n == kills/2 {
			damaged = damageOne(t, j)
		}
		killOnce(t, j.Dir, []string{"take", "watch"}[n%2], time.Duration(rng.IntN(120))*time.Millisecond)
		if !j.IntakeEnded() {
			cut++
		}
		torn += min(1, len(New(j, Options{}).leftover()))
	}
	for name, data := range drops {
		drop(t, j, name, data)
	}
	c := &clock{time.Now()}
	j = opened(t, j)
	c.take(t, j)
	c.now = c.now.Add(time.Hour)
	c.take(t, j)
	t.Logf("after %d of %d kills something was left to be cleared, after %d of them a copy half made", cut, kills, torn)
	if cut == 0 {
		t.Error("no kill met anything")
	}
	keptOnce(t, j, drops, damaged != "")
}

// TestKillsOfALargeTake drops 200 photos and kills the take at random moments until
// it comes to its end; then again with another journal, until there were so many
// kills as RAKELIGHT_KILLS says (10). Each photo is kept exactly once, byte for byte.
func TestKillsOfALargeTake(t *testing.T) {
	kills := 10
	if n, err := strconv.Atoi(os.Getenv("RAKELIGHT_KILLS")); err == nil {
		kills = n
	}
	const photos = 200
	rng := rand.New(rand.NewPCG(8, uint64(kills)))
	killed, cut, rounds, tears := 0, 0, 0, 0
	for ; killed < kills; rounds++ {
		j := bench(t)
		drops := map[string][]byte{}
		for i := range photos {
			name := fmt.Sprintf("pilot-boat/t%03d.jpg", i)
			drops[name] = append(shot(t, i), film(1+i*40)...)
			drop(t, j, name, drops[name])
		}
		for n := 0; n < 25 && killed < kills; n++ {
			killOnce(t, j.Dir, "take", time.Duration(rng.IntN(150))*time.Millisecond)
			killed++
			if !j.IntakeEnded() {
				cut++
			}
		}
		// A kill may meet a line half written: that is told, and its photo recorded again.
		torn := finished(t, j, drops, journal.TornLine)
		if n := photoRecords(t, opened(t, j)); n < photos || n > photos+torn {
			t.Errorf("%d records of %d photos, %d lines torn", n, photos, torn)
		}
		tears += torn
		if t.Failed() {
			t.FailNow()
		}
		_ = os.RemoveAll(j.Dir)
	}
	t.Logf("%d kills in %d journals; %d met a photo on its way, %d a line half written", killed, rounds, cut, tears)
	if cut == 0 {
		t.Error("no kill met anything")
	}
}

// TestKillsWhileGrowing kills takes and watches while writers hold their files
// open and go on writing, wherever the files have gone meanwhile. In the end each
// file is one photo, whole.
func TestKillsWhileGrowing(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("an open file is not renamed there: it stays in the inbox")
	}
	kills := 10
	if n, err := strconv.Atoi(os.Getenv("RAKELIGHT_KILLS")); err == nil {
		kills = n
	}
	rng := rand.New(rand.NewPCG(6, uint64(kills)))
	j := bench(t)
	var wholes [][]byte
	var writers []*os.File
	for i := range 5 {
		w, err := os.OpenFile(drop(t, j, fmt.Sprintf("pilot-boat/moving-%d.jpg", i), nil), os.O_WRONLY, 0)
		if err != nil {
			t.Fatal(err)
		}
		defer w.Close()
		wholes, writers = append(wholes, nil), append(writers, w)
	}
	write := func(i int) {
		part := film(1 + rng.IntN(40000))
		if len(wholes[i]) == 0 {
			part = shot(t, i)
		}
		if _, err := writers[i].Write(part); err != nil {
			t.Fatal(err)
		}
		wholes[i] = append(wholes[i], part...)
	}
	for n := range kills {
		write(rng.IntN(len(writers)))
		killOnce(t, j.Dir, []string{"take slowly", "watch slowly"}[n%2], time.Duration(rng.IntN(150))*time.Millisecond)
	}
	for i := range writers {
		write(i)
	}
	c := &clock{time.Now()}
	j = opened(t, j)
	for range 3 {
		c.take(t, j)
		c.now = c.now.Add(time.Hour)
	}
	if len(j.State.Photos) != len(wholes) || len(leaving(t, j)) != 0 {
		t.Errorf("%d photos of %d files, %v leaving", len(j.State.Photos), len(wholes), leaving(t, j))
	}
	for _, p := range j.State.Photos {
		if data, err := os.ReadFile(j.Path(p.Path)); err != nil || !slices.ContainsFunc(wholes, func(whole []byte) bool { return bytes.Equal(whole, data) }) {
			t.Errorf("%s (%s, %d bytes) is no whole file, %v", p.Path, p.Name, p.Size, err)
		}
	}
	for i, whole := range wholes {
		p, file, ok := j.State.Kept(hashOf(whole))
		if !ok || p.Path != file.Path || p.Tags.Build != "pilot-boat" {
			t.Errorf("file %d is no photo: %+v", i, p)
			continue
		}
		if data, err := os.ReadFile(j.Path(p.Path)); err != nil || !bytes.Equal(data, whole) {
			t.Errorf("file %d is not byte for byte: %v", i, err)
		}
	}
	if found := j.Check(true); len(found) != 0 || len(j.State.Problems) != 0 {
		t.Errorf("%+v, %v", found, j.State.Problems)
	}
}

// killPictures are the pictures to be dropped: pairs, XMP files, moving ones, and
// photos large enough for a kill to meet them half placed.
func killPictures(t *testing.T) map[string][]byte {
	drops := map[string][]byte{}
	for i := range 12 {
		drops[fmt.Sprintf("pilot-boat/p%02d.jpg", i)] = append(shot(t, i), film(1+i*i*4000)...)
	}
	for i := range 3 {
		raw, shown := shots(t, 50+i, fmt.Sprintf("2026:03:14 21:15:%02d", i))
		drops[fmt.Sprintf("IMG_%d.DNG", i)], drops[fmt.Sprintf("IMG_%d.JPG", i)] = raw, shown
	}
	drops["pilot-boat/p03.jpg.xmp"] = xmpText("2026-03-14T21:30:00+00:00", "hull")
	return drops
}

// killOnce runs a process and kills it so long after it opened the journal.
func killOnce(t *testing.T, dir, how string, after time.Duration) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestTakesUntilKilled$")
	cmd.Env = append(os.Environ(), killDir+"="+dir, killHow+"="+how)
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() && lines.Text() != "open" {
	}
	done := make(chan bool, 1)
	go func() {
		for lines.Scan() {
		}
		done <- true
	}()
	select {
	case <-done:
	case <-time.After(after):
		_ = cmd.Process.Kill()
	}
	_ = cmd.Wait() // it was killed, or had nothing more to do
}

// damageOne turns a bit of a kept photo over, if there is one, and returns it.
func damageOne(t *testing.T, j *journal.Journal) string {
	for _, p := range opened(t, j).State.Photos {
		flip(t, j.Path(p.Path))
		return p.Path
	}
	return ""
}

// keptOnce fails unless the journal holds each picture once, byte for byte, and
// nothing else; damaged bytes may lie aside.
func keptOnce(t *testing.T, j *journal.Journal, drops map[string][]byte, damaged bool) {
	t.Helper()
	want := map[string]string{} // hash → name
	for name, data := range drops {
		want[hashOf(data)] = name
	}
	kept := map[string]int{}
	look := func(hash, file string) {
		kept[hash]++
		if data, err := os.ReadFile(j.Path(file)); err != nil || !bytes.Equal(data, drops[want[hash]]) {
			t.Errorf("%s is not %s byte for byte: %v", file, want[hash], err)
		}
	}
	photos := 0
	for _, p := range j.State.Photos {
		look(p.Hash, p.Path)
		photos++
		for _, o := range p.Beside {
			look(o.Hash, o.Path)
		}
	}
	for hash, name := range want {
		if kept[hash] != 1 {
			t.Errorf("%s is kept %d times", name, kept[hash])
		}
	}
	if photos != 15 || photoRecords(t, j) > 18 || originals(t, j) != len(drops) {
		t.Errorf("%d photos, %d photo records, %d files of %d", photos, photoRecords(t, j), originals(t, j), len(drops))
	}
	for _, f := range j.Check(true) {
		if f.Error || f.Kind != journal.DamagedBytes {
			t.Errorf("%+v", f)
		}
	}
	if len(j.State.Problems) != 0 || damaged != (len(j.State.Repairs) > 0) {
		t.Errorf("%v, %d repairs", j.State.Problems, len(j.State.Repairs))
	}
	_ = filepath.WalkDir(j.InboxDir(), func(file string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && !strings.HasPrefix(file, filepath.Join(j.InboxDir(), "aside", "damaged")) {
			t.Errorf("%s lies in the inbox still", file)
		}
		return nil
	})
}
