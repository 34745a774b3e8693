// Every address in a folder of pages, followed.

package main

import (
	"bytes"
	"encoding/xml"
	"io/fs"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// pageRead is what of a page is looked at here.
type pageRead struct {
	ids       map[string]bool
	addresses []string // as written, unescaped
	faults    []string
}

// addressed are the attributes that hold an address.
var addressed = map[string]bool{"href": true, "src": true, "action": true, "poster": true, "data": true, "cite": true, "xlink:href": true}

func readPage(data []byte) pageRead {
	p := pageRead{ids: map[string]bool{}}
	fault := func(what, on string) { p.faults = append(p.faults, what+": "+on) }
	z := html.NewTokenizer(bytes.NewReader(data))
	for script := false; ; {
		switch z.Next() {
		case html.ErrorToken:
			return p
		case html.TextToken:
			if script && len(bytes.TrimSpace(z.Text())) > 0 {
				fault("a script in the page", string(z.Raw()))
			}
		case html.EndTagToken:
			script = false
		case html.StartTagToken, html.SelfClosingTagToken:
			token := z.Token()
			script = token.Data == "script"
			if token.Data == "style" || token.Data == "base" {
				fault("not in a page of ours", token.String())
			}
			p.read(token, fault)
		}
	}
}

func (p *pageRead) read(token html.Token, fault func(what, on string)) {
	for _, a := range token.Attr {
		switch {
		case a.Key == "id" && (a.Val == "" || p.ids[a.Val]):
			fault("an id that is none, or there twice", token.String())
		case a.Key == "id":
			p.ids[a.Val] = true
		case a.Key == "style" || strings.HasPrefix(a.Key, "on"):
			fault("a style or a script in an attribute", token.String())
		case a.Key == "srcset":
			for one := range strings.SplitSeq(a.Val, ",") {
				p.addresses = append(p.addresses, strings.Fields(one + " ")[0])
			}
		case addressed[a.Key]:
			p.addresses = append(p.addresses, a.Val)
		}
	}
	if token.Data == "img" {
		has := map[string]string{}
		for _, a := range token.Attr {
			has[a.Key] = a.Val
		}
		if _, alt := has["alt"]; !alt || has["width"] == "" || has["height"] == "" || has["width"] == "0" || has["height"] == "0" {
			fault("a picture without words or measures", token.String())
		}
		if (has["loading"] == "lazy") == (has["fetchpriority"] != "") {
			fault("a picture neither early nor late", token.String())
		}
	}
}

// cssAddress and dataAddress find addresses in style sheets and data scripts.
var (
	cssAddress  = regexp.MustCompile(`url\(["']?([^"')]+)["']?\)`)
	dataAddress = regexp.MustCompile(`"((?:\.\./)*[a-z0-9-]+/[^"\s]*\.(?:html|jpg)(?:#[^"\s]*)?)"`)
)

func (w written) testLinks(t *testing.T) {
	pages, exists, links := map[string]pageRead{}, map[string]bool{}, 0
	other := map[string][]string{} // addresses in what is no page, from the folder each is seen from
	err := fs.WalkDir(os.DirFS(w.dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		exists[name] = true
		switch path.Ext(name) {
		case ".html", ".css", ".js", ".xml":
		default:
			return nil
		}
		data, err := os.ReadFile(filepath.Join(w.dir, filepath.FromSlash(name)))
		switch path.Ext(name) {
		case ".html":
			pages[name] = readPage(data)
		case ".css":
			for _, m := range cssAddress.FindAllSubmatch(data, -1) {
				other[name] = append(other[name], string(m[1]))
			}
		case ".xml":
			other[name] = feedAddresses(t, name, data)
		case ".js":
			if strings.HasPrefix(name, "data/") {
				for _, m := range dataAddress.FindAllSubmatch(data, -1) {
					other["index.html"] = append(other["index.html"], string(m[1]))
				}
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	follow := func(from, address string) {
		links++
		u, err := url.Parse(address)
		if err != nil || u.Scheme != "" || u.Host != "" || strings.HasPrefix(u.Path, "/") {
			t.Errorf("%s: %q leads off the pages", from, address)
			return
		}
		to := from
		if u.Path != "" {
			to = path.Join(path.Dir(from), u.Path)
		}
		if p, ok := pages[to]; !exists[to] {
			t.Errorf("%s: %q leads nowhere", from, address)
		} else if ok && u.Fragment != "" && !p.ids[u.Fragment] && !strings.HasPrefix(u.Fragment, "a=") {
			t.Errorf("%s: %q leads to no place in %s", from, address, to)
		}
	}
	for name, p := range pages {
		for _, fault := range p.faults {
			t.Errorf("%s: %s", name, fault)
		}
		for _, address := range p.addresses {
			follow(name, address)
		}
	}
	for name, all := range other {
		for _, address := range all {
			follow(name, address)
		}
	}
	if len(pages) < 50 || links < 3000 {
		t.Errorf("only %d links on %d pages were followed", links, len(pages))
	}
	t.Logf("%d links on %d pages", links, len(pages))
}

// feedAddresses are those of a feed's links and of the texts in it. The feed lies where
// the first page does, so that they are seen from there.
func feedAddresses(t *testing.T, name string, data []byte) []string {
	var feed struct {
		Link []struct {
			Href string `xml:"href,attr"`
		} `xml:"link"`
		Entry []struct {
			Link []struct {
				Href string `xml:"href,attr"`
			} `xml:"link"`
			Content string `xml:"content"`
		} `xml:"entry"`
	}
	if err := xml.Unmarshal(data, &feed); err != nil || len(feed.Entry) == 0 {
		t.Errorf("%s: %d entries, %v", name, len(feed.Entry), err)
	}
	var all []string
	for _, l := range feed.Link {
		all = append(all, l.Href)
	}
	for _, e := range feed.Entry {
		for _, l := range e.Link {
			all = append(all, l.Href)
		}
		all = append(all, readPage([]byte(e.Content)).addresses...)
	}
	return all
}

// What the reading of pages must find.
func TestReadPage(t *testing.T) {
	p := readPage([]byte(`<p id="a"><p id="a" style="x"><a href="b.html#c">b</a><img src="d.jpg" srcset="e.jpg 1w, f.jpg 2w">` +
		`<button onclick="g()">h</button><script>i()</script><style>j</style>`))
	if got := strings.Join(p.addresses, " "); got != "b.html#c d.jpg e.jpg f.jpg" {
		t.Error(got)
	}
	if len(p.faults) != 7 { // two of the picture
		t.Errorf("%q", p.faults)
	}
}
