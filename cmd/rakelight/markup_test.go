// Strings of strangers: every text that somebody else can set holds markup that is
// known to break out, and no page, picture or terminal gets more than the words.

package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"image"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"rakelight/journal"
	"rakelight/journal/record"
	"rakelight/media/scene"
	"rakelight/render/judge"
)

// vectors are the strings of testdata/markup, whose SOURCE tells where they are
// from, and some that a terminal obeys (ECMA-48: CSI, OSC, DCS, C1; Unicode's
// turns of direction, UAX #9).
func vectors(t *testing.T) (list []string) {
	t.Helper()
	for _, name := range []string{"bluemonday.txt", "naughty.txt"} {
		f, err := os.Open(filepath.Join("..", "..", "testdata", "markup", name))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		for lines := bufio.NewScanner(f); lines.Scan(); {
			s, err := strconv.Unquote(lines.Text())
			if err != nil {
				t.Fatalf("%s: %q: %v", name, lines.Text(), err)
			}
			list = append(list, s)
		}
	}
	return append(list, "\x1b[2J\x1b[31mred", "\x1b]0;title\x07", "\x1b]8;;http://example.com\x1b\\x", "\u009b31m", "\x1bP1$r\x1b\\",
		"a\rb", "a\bb", "\x7f", "\u202eabc\u2066", "\u2028rakelight: hint: z")
}

// strangers makes a journal in which other hands wrote all there is to write, as
// the next string says each time.
func strangers(t *testing.T, next func() string, many int) heard {
	t.Helper()
	h := heard{t, filepath.Join(t.TempDir(), "bench")}
	h.must(-30, "new "+h.dir+" --zone UTC")
	h.put("journal.toml", "format = 1\nname = "+toml(next())+"\nzone = \"UTC\"\nsettle = "+toml(next())+"\n"+
		fmt.Sprintf("[before]\nclean = 30\n%s = 4\n[[stage]]\nid = %s\ntitle = %s\nkind = %s\n",
			toml(next()), toml(next()), toml(next()), toml(next()))+
		fmt.Sprintf("[[clock]]\nmake = %s\nmodel = %s\nfast = %s\n", toml(next()), toml(next()), toml(next())))
	builds := []string{"pilot-boat", "lorry"}
	for _, build := range builds {
		var prose strings.Builder
		for range many {
			fmt.Fprintf(&prose, "%s\n\n- [ ] %s\n- [x](%s)\n\n> %s\n\n", next(), next(), next(), next())
		}
		h.put("builds/"+build+"/build.md", fmt.Sprintf("---\ntitle: %s\nscale: %s\nkits: [{title: %s, runners: {A: 99}}]\nstages: [cut, clean, %s]\n---\n%s",
			strconv.Quote(next()), strconv.Quote(next()), strconv.Quote(next()), strconv.Quote(next()), prose.String()))
		h.put("builds/"+build+"/diary/2026-03-14.md", prose.String())
	}
	var lines bytes.Buffer
	seq := int64(0)
	say := func(kind string, body map[string]any) string {
		seq++
		data, err := json.Marshal(body)
		if err != nil {
			t.Fatal(err)
		}
		r := record.Record{At: faultsBegin, Dev: "phone-1", Seq: seq, Kind: kind, Body: data}
		line, err := record.EncodeLine(r)
		if err != nil {
			t.Fatal(err)
		}
		lines.Write(append(line, '\n'))
		return r.ID()
	}
	at := func(minutes int) string {
		return faultsBegin.Add(time.Duration(minutes) * time.Minute).Format(time.RFC3339)
	}
	var photos []string
	for i := range many {
		build := builds[i%2]
		start := -60 * (i + 1)
		session := say("begin", map[string]any{"build": build, "stage": "clean", "kind": "clean", "class": next(), "start": at(start), "tools": []string{next(), next()}})
		say("done", map[string]any{"session": session, "build": build, "stage": "clean", "count": 1, "at": at(start + 5)})
		say("end", map[string]any{"session": session, "end": at(start + 20)})
		say("correct", map[string]any{"session": session, "note": next()})
		say("note", map[string]any{"build": build, "session": session, "text": next(), "at": at(start)})
		say("note", map[string]any{"build": build, "parts": []map[string]any{{"runner": "A", "number": "2", "count": 1}}, "text": next(), "at": at(start)})
		say("reopen", map[string]any{"build": build, "session": session, "count": 1, "why": next(), "at": at(start + 21)})
		work := say("work", map[string]any{"build": build, "stage": next(), "kind": "paint", "class": next(), "date": "2025-02-03", "minutes": 20, "known": "remembered", "count": 2, "note": next(), "tools": []string{next()}})
		say("retract", map[string]any{"record": work, "why": next()})
		say("work", map[string]any{"build": build, "stage": next(), "kind": next(), "date": "2025-02-03", "minutes": 20, "known": "remembered", "count": 2, "note": next()})
		say("mistake", map[string]any{"build": build, "stage": "clean", "kind": next(), "cause": next(), "mended": next(), "minutes": 3, "at": at(start)})
		trial := say("trial", map[string]any{"what": next(), "question": next(), "build": build, "at": at(start), "tool": next()})
		say("observe", map[string]any{"trial": trial, "text": next(), "at": at(start)})
		say("review", map[string]any{"trial": trial, "text": next(), "at": at(start)})
		say(next(), map[string]any{next(): next()})
		if i < 12 {
			photos = append(photos, h.strangePhoto(i, build, next, say))
		}
	}
	for i, photo := range photos {
		say("tag", map[string]any{"photo": photo, "set": map[string]any{"parts": next(), "role": next()}, "caption": next()})
		say("mark", map[string]any{"photo": photo, "criterion": 4, "score": 2, "rubric": "R1", "judge": next()})
		say("dated", map[string]any{"photo": photo, "first": "2026-03-01", "last": "2026-03-02", "said": next()})
		other := photos[(i+1)%len(photos)]
		say("verdict", map[string]any{"left": photo, "right": other, "criterion": 4, "outcome": "left", "judge": next()})
		pack, pair := next(), next()
		say("pack", map[string]any{"pack": pack, "pairs": []map[string]any{{"id": pair, "left": photo, "right": other, "criterion": 4}}})
		say("answers", map[string]any{"pack": pack, "sheet": next(), "judge": next(), "answers": []map[string]any{{"pair": pair, "outcome": "right"}}})
	}
	first := photos[0]
	if n := h.strangeFields(next, say, knownWords{"build": "pilot-boat", "stage": "clean", "kind": "clean", "class": "flat",
		"session": "phone-1/1", "trial": "phone-1/12", "record": "phone-1/4", "hash": "77", "photo": first, "left": first, "right": photos[1],
		"a": first, "b": photos[1], "copy-of": first, "of": first, "path": "photos/2026/03/x.jpg", "name": "x.jpg", "format": "jpeg",
		"date": "2026-02-03", "first": "2026-03-01", "last": "2026-03-02", "from": "2026-03-01", "to": "2026-03-31", "known": "measured",
		"outcome": "left", "rubric": "R1", "role": "after", "view": "left", "light": "diffuse", "runner": "A", "number": "3",
		"fast": "1h0m0s", "dev": "phone-2", "by": "folder"}); n < 150 {
		t.Errorf("only %d fields were tried", n)
	}
	h.strangeFolders(next)
	h.dropStrange(next)
	say("clock", map[string]any{"camera": map[string]any{"make": next(), "model": next(), "serial": next()}, "fast": "1h0m0s", "really": next()})
	say("pause", map[string]any{"build": "lorry", "from": at(0), "why": next(), "next": next(), "waiting": next()})
	h.put("records/phone-1/2026-03.jsonl", lines.String())
	return h
}

// strangeFolders makes builds, days, devices and files of records that are called
// what a stranger says.
func (h heard) strangeFolders(next func() string) {
	h.t.Helper()
	for range 6 {
		build := "builds/" + fileName(next())
		h.put(build+"/build.md", fmt.Sprintf("---\ntitle: %s\nstarted: %s\nfinish: %s\nrunners: [{letter: %s, parts: %s, class: %s}]\nstages: [{id: %s, title: %s, kind: %s}]\ntotals: {%s: 3}\n---\nIt.\n",
			strconv.Quote(next()), strconv.Quote(next()), strconv.Quote(next()), strconv.Quote(next()), strconv.Quote(next()), strconv.Quote(next()),
			strconv.Quote(next()), strconv.Quote(next()), strconv.Quote(next()), strconv.Quote(next())))
		h.put(build+"/diary/2026-03-14.md", next())
		h.put(build+"/diary/"+fileName(next())+".md", next())
		dev := next()
		line, err := record.EncodeLine(record.Record{At: faultsBegin, Dev: dev, Seq: 1, Kind: "note",
			Body: json.RawMessage(`{"build":"lorry","text":"glue","at":"2026-03-14T19:00:00Z"}`)})
		if err != nil {
			h.t.Fatal(err)
		}
		h.put("records/"+fileName(dev)+"/2026-03.jsonl", string(line)+"\n"+next()+"\n")
		h.put("records/"+fileName(next())+"/"+fileName(next())+".jsonl", string(line)+"\n")
		h.put("marks/"+fileName(next())+".json", fmt.Sprintf(`{%s: {"seq": 9, "sum": "1f3a9c04"}}`, toml(dev)))
	}
}

// strangeZones puts a table of zones into the settings.
func (h heard) strangeZones(words string) {
	h.t.Helper()
	path := filepath.Join(h.dir, "journal.toml")
	data, err := os.ReadFile(path)
	if err != nil {
		h.t.Fatal(err)
	}
	h.put("journal.toml", fmt.Sprintf("%s[[zones]]\nfrom = %s\nname = %s\n", data, toml(words), toml(words)))
}

// fileName is the words as far as a file may be called so.
func fileName(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || strings.ContainsRune(`/\:*?"<>|`, r) && (r == '/' || runtime.GOOS == "windows") {
			return '-'
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	return "x" + strings.ToValidUTF8(s[:min(len(s), 80)], "")
}

// strangePhoto keeps a photo whose names, camera and words are a stranger's.
func (h heard) strangePhoto(i int, build string, next func() string, say func(string, map[string]any) string) string {
	h.t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for n := range img.Pix {
		img.Pix[n] = byte(n*(i+3)) ^ byte(i*31)
	}
	var b bytes.Buffer
	if err := scene.WriteJPEG(&b, img, scene.Exif{}); err != nil {
		h.t.Fatal(err)
	}
	hash := fmt.Sprintf("%x", sha256.Sum256(b.Bytes()))
	path := fmt.Sprintf("photos/2026/03/20260314-1900%02d-%s.jpg", i, hash[:8])
	h.put(path, b.String())
	say("photo", map[string]any{
		"hash": hash, "path": path, "name": next(), "folder": next(), "size": b.Len(), "format": "jpeg", "width": 64, "height": 48, "turn": 1,
		"camera":  map[string]any{"make": next(), "model": next(), "serial": next()},
		"instant": map[string]any{"at": faultsBegin.Add(time.Duration(i) * time.Second), "wall": next(), "source": next(), "offset": next()},
		"tags":    map[string]any{"build": build, "stage": "clean", "view": "left", "light": "diffuse", "role": "after"},
		"why":     map[string]string{"build": next(), "stage": next()}, "words": []string{next(), next()},
		"cards": []map[string]any{{"text": next()}},
	})
	return hash
}

// dropStrange puts photos into the inbox whose camera, name and folder are a
// stranger's, as far as a file may be called so.
func (h heard) dropStrange(next func() string) {
	h.t.Helper()
	for i := range 12 {
		img := image.NewRGBA(image.Rect(0, 0, 64, 48))
		for n := range img.Pix {
			img.Pix[n] = byte(n*(i+3)) ^ byte(i*77)
		}
		var b bytes.Buffer
		exif := scene.Exif{Make: next(), Model: next(), Serial: next(), At: faultsBegin.Add(time.Duration(i) * time.Minute)}
		if err := scene.WriteJPEG(&b, img, exif); err != nil {
			h.t.Fatal(err)
		}
		h.put(fmt.Sprintf("inbox/%s/%s%d.jpg", fileName(next()), fileName(next()), i), b.String())
	}
}

// toml is a string as TOML writes it, of what TOML can hold.
func toml(s string) string {
	data, _ := json.Marshal(strings.ToValidUTF8(s, ""))
	return strings.ReplaceAll(string(data), "\x7f", `\u007f`)
}

// parts are the elements of all pages, each with an attribute: "a href". Values
// that ask or run something are told as they are.
func pageParts(t *testing.T, dir string) map[string]string {
	t.Helper()
	found := map[string]string{}
	pages := 0
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !slices.Contains([]string{".html", ".svg", ".xml"}, filepath.Ext(path)) {
			return err
		}
		pages++
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		root, err := html.Parse(bytes.NewReader(data))
		if err != nil {
			return err
		}
		for n := range root.Descendants() {
			if n.Type != html.ElementNode {
				continue
			}
			found[n.Data] = path
			if n.Data == "script" || n.Data == "style" {
				text := ""
				for c := range n.ChildNodes() {
					text += c.Data
				}
				found[n.Data+" "+attr(n, "src")+" "+attr(n, "type")+" "+text] = path
			}
			for _, a := range n.Attr {
				found[n.Data+" "+a.Key] = path
				runs(t, path, n, a)
			}
		}
		return nil
	})
	if err != nil || pages < 10 {
		t.Fatal(pages, err)
	}
	return found
}

// shownOf counts the strings that stand on some page, word for word but for
// white space and what is shown of control signs.
func shownOf(t *testing.T, list []string, dir string) (n int) {
	t.Helper()
	var all strings.Builder
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".html" {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		root, err := html.Parse(bytes.NewReader(data))
		if err != nil {
			return err
		}
		for node := range root.Descendants() {
			if node.Type == html.TextNode {
				all.WriteString(strings.Join(strings.Fields(node.Data), " ") + "\n")
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	text := all.String()
	for _, s := range list {
		if s = strings.Join(strings.Fields(s), " "); len(s) > 3 && strings.Contains(text, s) {
			n++
		}
	}
	return n
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// runs fails for an attribute that runs or asks for something when the page is
// opened or clicked.
func runs(t *testing.T, path string, n *html.Node, a html.Attribute) {
	t.Helper()
	value := strings.ToLower(strings.Map(func(r rune) rune {
		if r <= ' ' { // browsers pass over them
			return -1
		}
		return r
	}, a.Val))
	scheme, _, has := strings.Cut(value, ":")
	has = has && !strings.ContainsAny(scheme, "/?#")
	switch a.Key {
	case "href":
		if has && !slices.Contains([]string{"http", "https", "mailto"}, scheme) {
			t.Errorf("%s: <%s %s=%q>", path, n.Data, a.Key, a.Val)
		}
	case "src", "srcset", "action", "formaction", "poster", "data", "background", "xlink:href", "ping", "cite":
		if has || strings.HasPrefix(value, "//") {
			t.Errorf("%s: <%s %s=%q>", path, n.Data, a.Key, a.Val)
		}
	case "style":
		if strings.Contains(value, "url(") || strings.Contains(value, "expression") || strings.Contains(value, "import") {
			t.Errorf("%s: <%s %s=%q>", path, n.Data, a.Key, a.Val)
		}
	}
	if strings.HasPrefix(a.Key, "on") {
		t.Errorf("%s: <%s %s=%q>", path, n.Data, a.Key, a.Val)
	}
}

// TestMarkupOfStrangers holds that pages with such strings are made of the same
// elements and attributes as pages with plain words, and run nothing else; and
// that no command prints what a terminal obeys.
func TestMarkupOfStrangers(t *testing.T) {
	t.Parallel()
	list, said := vectors(t), 0
	plain := strangers(t, func() string {
		said++
		return []string{"glue", "# glue", "*glue* **glue** `glue`", "[glue](https://example.com)", "![glue](x.jpg)", "1. glue", "    glue",
			"- glue\n\n---\n", "> glue", "~~glue~~", "## glue\n\n### glue\n\n#### glue\n\n##### glue\n\n###### glue", "glue  \nglue",
			"| a | b |\n|:-|-:|\n| c | d |", "```go\nglue\n```", "- [x] glue"}[said%15]
	}, 40)
	used := 0
	hostile := strangers(t, func() string { used++; return list[(used*7)%len(list)] }, 45)
	if used < 2*len(list) || len(list) < 400 || len(list)%7 == 0 {
		t.Fatalf("%d strings, %d used", len(list), used)
	}
	at := func() time.Time { return faultsBegin.Add(200 * time.Minute) }
	for _, h := range []heard{plain, hostile} {
		var out bytes.Buffer
		run(context.Background(), []string{"--journal", h.dir, "take"}, &out, &out, at)
		if !strings.Contains(out.String(), "12 photos taken in") {
			t.Errorf("take: %s", out.String())
		}
		if code := run(context.Background(), []string{"--journal", h.dir, "write"}, &out, &out, at); code != exitDone && code != exitSetAside {
			t.Fatalf("%d\n%s", code, out.String())
		}
	}
	if n := shownOf(t, list, filepath.Join(hostile.dir, "pages")); n < 250 {
		t.Errorf("only %d of %d strings stand on the pages", n, len(list))
	}
	want, got := pageParts(t, filepath.Join(plain.dir, "pages")), pageParts(t, filepath.Join(hostile.dir, "pages"))
	for _, part := range slices.Sorted(maps.Keys(got)) {
		if _, ok := want[part]; !ok {
			t.Errorf("%s: %.300q comes of a stranger's words", got[part], part)
		}
	}
	dest, answers := filepath.Join(t.TempDir(), "copy"), filepath.Join(t.TempDir(), "answers.txt")
	text := judge.Answers{Pack: "7kq3m9x2wd", Sheet: list[0], Judge: list[1], Of: 2, Given: []journal.PackAnswer{{Pair: list[2], Outcome: list[3]}}}.Text()
	if err := os.WriteFile(answers, []byte(text+strings.Join(list, "\n")), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, words := range []string{"status", "check", "check --photos", "builds", "pace", "pace --by tool", "hours", "hours --by kind", "parts", "parts A2",
		"mistake", "trial", "tool", "skill", "forecast", "cards --said", "cards --sheets", "clock", "why 20260314-190000", "on pilot-boat clean", "off",
		"pace --json", "pace --csv", "skill --json", "hours --json", "hours --csv", "mistake --json", "trial --json", "tool --json", "forecast --json",
		"status pilot-boat", "status lorry", "supplies", "supplies --all", "runners", "sub", "hold", "prep", "hands", "judge --take " + answers, "judge --pack " + filepath.Join(t.TempDir(), "pack.html"), "copy " + dest, "check --from " + dest,
		"export " + filepath.Join(t.TempDir(), "tables"), "ZONES", "status", "check", "take"} {
		if words == "ZONES" { // last, because nothing is taken in until they can be read
			hostile.strangeZones(list[5])
			continue
		}
		var out, errw bytes.Buffer
		run(context.Background(), append([]string{"--journal", hostile.dir}, strings.Fields(words)...), &out, &errw, at)
		for text := range strings.Lines(out.String() + errw.String()) {
			if text = strings.TrimSuffix(text, "\n"); journal.Shown(text) != text {
				t.Errorf("%s: %q", words, text)
			}
		}
		for text := range strings.Lines(errw.String()) {
			if !strings.HasPrefix(text, "rakelight: ") {
				t.Errorf("%s: a line of somebody else's: %q", words, text)
			}
		}
	}
}
