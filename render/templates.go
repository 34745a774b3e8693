// From page values to bytes: the templates and the other files of package site.

package render

import (
	"bytes"
	"fmt"
	"html/template"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"

	"rakelight/journal/say"
	"rakelight/site"
)

// pageKinds are the folders of package site, which is the order in which
// their styles follow each other.
var pageKinds = []string{"shared", "home", "build", "book", "paper", "sheet", "compare", "flick", "pace", "skill",
	"forecast", "mistakes", "trials", "search", "sort", "help", "diary"}

// ownSheets are the kinds whose style stands in a sheet of its own, by the classes of
// the pages that link it: no other page has any use for it. The style of all other
// kinds is in one sheet, which a browser keeps from page to page.
var ownSheets = map[string]string{"paper": "paper", "help": "help", "format": "help",
	"interval": "help", "sheet": "sheet", "step": "sheet",
	"compare": "compare", "flick": "flick"}

// templates are the site's templates in the language of the pages.
func (v *view) templates() *template.Template {
	own := v.ownLanguage()
	if v.IsEnglish() && own == "" {
		return englishTemplates()
	}
	v.templatesOnce.Do(func() { v.parsed = v.parseTemplates(own) })
	return v.parsed
}

var englishTemplates = sync.OnceValue(func() *template.Template { return voice{say.English()}.parseTemplates("") })

// parseTemplates parses the site's templates. They are part of the program: one that
// does not parse is a fault in it, which the tests find.
// own is the language of the person's words where it is another than that of the pages.
func (in voice) parseTemplates(own string) *template.Template {
	t := template.New("site").Funcs(template.FuncMap{"whole": whole, "low": in.low, "say": in.sayInTemplate,
		"own":    func() template.HTMLAttr { return langOf(own, own) },
		"ours":   func() template.HTMLAttr { return langOf(own, in.Language()) },
		"markup": in.sayMarkup,
		"count":  in.Count, "known": in.knownMark})
	t.Funcs(template.FuncMap{"percentage": percentage, "way": way, "strong": strong})
	for _, kind := range pageKinds {
		template.Must(t.ParseFS(site.Files, kind+"/*.html"))
	}
	return t
}

// sayInTemplate is Say for templates: {{say "Then and now"}}.
func (in voice) sayInTemplate(key say.Key, args ...any) string { return in.Say(key, args...) }

// sayMarkup says a sentence with markup among its arguments: template.HTML stands as it
// is, the sentence and all else are text.
func (in voice) sayMarkup(key say.Key, args ...any) template.HTML {
	safe := make([]any, len(args))
	for i, arg := range args {
		switch arg := arg.(type) {
		case template.HTML, int:
			safe[i] = arg
		case say.Wording:
			safe[i] = template.HTMLEscapeString(arg.In(in.Speaker))
		default:
			safe[i] = template.HTMLEscapeString(fmt.Sprint(arg))
		}
	}
	words := in.SayEscaped(key, template.HTMLEscapeString, safe...)
	return template.HTML(strings.ReplaceAll(words, " \n", "\n")) // a line that breaks needs no space
}

// knownMark is how a time was known, as {{template "known"}} writes it, on a line of
// its own.
func (in voice) knownMark(word string) template.HTML {
	known := in.known(word)
	return template.HTML("\n<span class=\"" + known.Mark + "\">" + template.HTMLEscapeString(known.Word) + "</span>")
}

// tidy drops the empty lines that template actions leave behind, except inside
// preformatted text, where they are the person's.
func tidy(page []byte) []byte {
	var out bytes.Buffer
	out.Grow(len(page))
	inside := false
	for line := range bytes.Lines(page) {
		if inside || len(bytes.TrimSpace(line)) > 0 {
			out.Write(line)
		}
		if !bytes.Contains(line, []byte("pre")) {
			continue // most lines, found out quickly
		}
		if i := bytes.LastIndex(line, []byte("<pre")); i >= 0 {
			inside = true
		}
		if j := bytes.LastIndex(line, []byte("</pre>")); j >= 0 && j > bytes.LastIndex(line, []byte("<pre")) {
			inside = false
		}
	}
	return out.Bytes()
}

// assets are the style sheets, the scripts, the icon, and the fonts with their licenses.
func assets() []making {
	var style bytes.Buffer
	var files []making
	add := func(path string, data []byte) {
		files = append(files, making{path: path, of: sameAlways,
			bytes: func(*texts) ([]byte, error) { return data, nil }})
	}
	own := slices.Collect(maps.Values(ownSheets))
	for _, kind := range append(slices.Clone(pageKinds), "fonts") {
		entries, err := fs.ReadDir(site.Files, kind)
		if err != nil {
			panic(err) // the files are part of the program
		}
		for _, e := range entries {
			name := kind + "/" + e.Name()
			data, err := fs.ReadFile(site.Files, name)
			if err != nil {
				panic(err)
			}
			switch ext := path.Ext(name); {
			case ext == ".css" && slices.Contains(own, kind):
				add("assets/"+e.Name(), data)
			case ext == ".css":
				style.Write(data)
				style.WriteByte('\n')
			case ext == ".js" || ext == ".svg":
				add("assets/"+e.Name(), data)
			case kind == "fonts" && !strings.HasPrefix(e.Name(), "."):
				add("assets/fonts/"+e.Name(), data)
			}
		}
	}
	style.Write(toneRules())
	add("assets/site.css", style.Bytes())
	return files
}
