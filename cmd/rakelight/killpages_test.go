// Real kills of write and watch while pages are written: the next write makes of
// what is left what a write from nothing makes, byte for byte.

package main

import (
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// TestKillsWhilePagesAreWritten changes something, kills a write or a watch at a
// random moment, and compares after a few kills. RAKELIGHT_KILLS sets how often (12); it
// goes on until a kill has met a write.
func TestKillsWhilePagesAreWritten(t *testing.T) {
	t.Parallel()
	kills := 12
	if n, err := strconv.Atoi(os.Getenv("RAKELIGHT_KILLS")); err == nil {
		kills = n
	}
	h := faultsBench(t)
	for _, said := range story {
		if said.args == "take" {
			h.drop()
		}
		h.must(said.after, said.args)
	}
	if err := os.RemoveAll(filepath.Join(h.dir, "pages")); err != nil {
		t.Fatal(err)
	}
	h.put("pages/notes.txt", "somebody's own")
	rng := rand.New(rand.NewPCG(21, uint64(kills)))
	began := time.Now()
	if told, err := h.process(70, "write").CombinedOutput(); err != nil { // from nothing
		t.Fatalf("%v: %s", err, told)
	}
	whole := time.Since(began)
	n, half := 0, 0
	for ; n < kills || half == 0 && n < 6*kills; n++ {
		after := time.Duration(80 + 10*n)
		switch n % 4 {
		case 0:
			if err := os.RemoveAll(filepath.Join(h.dir, "pages")); err != nil {
				t.Fatal(err)
			}
			h.put("pages/notes.txt", "somebody's own")
		case 1:
			h.put("builds/lorry/build.md", fmt.Sprintf("---\ntitle: Lorry %d\nrunners: {A: 12}\nstages: [cut, clean, paint]\n---\n", n))
		case 2:
			h.must(after, fmt.Sprintf("mistake lorry gouge_%d --stage clean", n))
		case 3:
			h.must(after, fmt.Sprintf("day It_is_the_%dth. --build lorry", n))
		}
		before := h.pages()
		words := []string{"write", "watch --no-serve"}[rng.IntN(2)]
		h.killed(after+1, words, time.Duration(rng.Int64N(int64(whole))))
		left := h.pages()
		if n%4 != 0 && rng.IntN(3) == 0 {
			continue // the next process finds what the kill left
		}
		h.must(after+2, "write")
		anew := h.copied()
		for _, gone := range []string{"pages", ".cache"} {
			if err := os.RemoveAll(filepath.Join(anew.dir, gone)); err != nil {
				t.Fatal(err)
			}
		}
		anew.put("pages/notes.txt", "somebody's own")
		anew.must(after+2, "write")
		want := anew.pages()
		if !maps.Equal(left, before) && !maps.Equal(left, want) {
			half++
		}
		same(t, fmt.Sprintf("kill %d of %s", n, words), h.pages(), want)
		if t.Failed() {
			t.FailNow()
		}
	}
	t.Logf("%d kills, %d left some pages of one time and some of another", n, half)
	if half == 0 {
		t.Error("no kill met a write")
	}
}

// process is a command as a process of its own.
func (h heard) process(minutes time.Duration, words string) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Args = append([]string{"rakelight", "--journal", h.dir}, strings.Fields(words)...)
	cmd.Env = append(os.Environ(), "RAKELIGHT_NOW="+faultsBegin.Add(minutes*time.Minute).Format(time.RFC3339))
	return cmd
}

// killed runs a command as a process and kills it so long after its start.
func (h heard) killed(minutes time.Duration, words string, after time.Duration) {
	h.t.Helper()
	cmd := h.process(minutes, words)
	if err := cmd.Start(); err != nil {
		h.t.Fatal(err)
	}
	time.Sleep(after) // any moment will do
	_ = cmd.Process.Kill()
	_ = cmd.Wait()
}

// pages are the files below pages, with their bytes.
func (h heard) pages() map[string]string {
	h.t.Helper()
	all := map[string]string{}
	dir := filepath.Join(h.dir, "pages")
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(path, ".tmp") {
			return err
		}
		data, err := os.ReadFile(path)
		all[filepath.ToSlash(strings.TrimPrefix(path, dir))] = string(data)
		return err
	})
	if err != nil {
		h.t.Fatal(err)
	}
	return all
}
