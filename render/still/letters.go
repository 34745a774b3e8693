// Text: the letters of the pages, measured, broken into lines, drawn.

package still

import (
	"cmp"
	"image"
	"image/color"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"

	"rakelight/site"
)

// face is one cut of the letters.
type face string

// The cuts there are. Each lends a letter that another lacks.
const (
	serif  face = "serif-regular"
	italic face = "serif-italic"
	sans   face = "sans-regular"
	bold   face = "sans-semibold"
)

// cuts are the letters, read once. They are part of the program: one that cannot be
// read is a fault in it, which the tests find.
var cuts = sync.OnceValue(func() map[face]*sfnt.Font {
	all := map[face]*sfnt.Font{}
	for _, f := range []face{serif, italic, sans, bold} {
		data, err := site.Files.ReadFile("drawn/" + string(f) + ".ttf")
		if err != nil {
			panic(err)
		}
		if all[f], err = opentype.Parse(data); err != nil {
			panic(err)
		}
	}
	return all
})

// sized are letters of one size in pixels of the picture; they hold room for
// outlines and are for one goroutine.
type sized struct {
	own, other font.Face
	cut, lends *sfnt.Font
	buf        sfnt.Buffer
	size       float64
}

func (c *canvas) letters(f face, size float64) *sized {
	lender := map[face]face{serif: sans, italic: serif, sans: serif, bold: sans}[f]
	s := &sized{cut: cuts()[f], lends: cuts()[lender], size: size * c.scale}
	for to, from := range map[*font.Face]*sfnt.Font{&s.own: s.cut, &s.other: s.lends} {
		made, err := opentype.NewFace(from, &opentype.FaceOptions{Size: s.size, DPI: 72, Hinting: font.HintingNone})
		if err != nil {
			panic(err) // of no options but these
		}
		*to = made
	}
	return s
}

// glyph is one letter as it is drawn.
type glyph struct {
	r    rune
	from font.Face // nil = no letters have it: a hollow box stands for it
	wide fixed.Int26_6
}

// unstroked are letters that no rule of Unicode takes their stroke from.
var unstroked = map[rune]string{'ł': "l", 'Ł': "L", 'đ': "d", 'Đ': "D", 'ħ': "h", 'Ħ': "H", 'ŧ': "t", 'Ŧ': "T"}

// has reports whether letters hold a character.
func (s *sized) has(cut *sfnt.Font, r rune) bool {
	i, err := cut.GlyphIndex(&s.buf, r)
	return err == nil && i != 0
}

// glyphs are the letters of a text with their widths. A character that the letters
// lack is taken from the others, then without its accents, and is a hollow box at
// last, so that nobody misses it unseen.
func (s *sized) glyphs(text string) []glyph {
	var out []glyph
	add := func(r rune, from font.Face) {
		wide, _ := from.GlyphAdvance(r)
		if n := len(out); n > 0 && out[n-1].from == from {
			out[n-1].wide += from.Kern(out[n-1].r, r)
		}
		out = append(out, glyph{r, from, wide})
	}
	for _, r := range norm.NFC.String(text) {
		switch {
		case unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Cf, r):
			// What does not stand by itself was joined to its letter, or cannot be drawn.
		case s.has(s.cut, r):
			add(r, s.own)
		case s.has(s.lends, r):
			add(r, s.other)
		case unicode.IsSpace(r):
			add(' ', s.own)
		default:
			plain := false
			for _, p := range norm.NFKD.String(cmp.Or(unstroked[r], string(r))) {
				if !unicode.Is(unicode.Mn, p) && s.has(s.cut, p) {
					add(p, s.own)
					plain = true
				}
			}
			if !plain {
				out = append(out, glyph{r, nil, fixed.Int26_6(s.size * 64 * 0.62)})
			}
		}
	}
	return out
}

// width is how wide a text is, in pixels of the layout.
func (c *canvas) width(text string, f face, size float64) float64 {
	return c.letters(f, size).width(text) / c.scale
}

func (s *sized) width(text string) float64 {
	var sum fixed.Int26_6
	for _, g := range s.glyphs(text) {
		sum += g.wide
	}
	return float64(sum) / 64
}

// text draws a line; y is where the letters stand. It returns its width.
func (c *canvas) text(x, y float64, text string, f face, size float64, ink color.RGBA) float64 {
	s := c.letters(f, size)
	start := fixed.Int26_6(x * c.scale * 64)
	at := fixed.Point26_6{X: start, Y: fixed.Int26_6(y * c.scale * 64)}
	for _, g := range s.glyphs(text) {
		if g.from == nil {
			left, stands := float64(at.X)/64/c.scale, y
			c.frame(box{left + 0.06*size, stands - 0.68*size, 0.5 * size, 0.68 * size}, max(2, size/24), ink)
		} else {
			mask := font.Drawer{Dst: c.img, Src: image.NewUniform(ink), Face: g.from, Dot: at}
			mask.DrawString(string(g.r))
		}
		at.X += g.wide
	}
	return float64(at.X-start) / 64 / c.scale
}

// right draws a line that ends at x.
func (c *canvas) right(x, y float64, text string, f face, size float64, ink color.RGBA) {
	c.text(x-c.width(text, f, size), y, text, f, size, ink)
}

// lines breaks a text so that no line is wider than wide. A word that is wider by
// itself is broken between letters.
func (c *canvas) lines(text string, f face, size, wide float64) []string {
	s := c.letters(f, size)
	room := wide * c.scale
	var out []string
	line := ""
	for _, word := range strings.Fields(text) {
		joined := strings.TrimSpace(line + " " + word)
		if line == "" || s.width(joined) <= room {
			line = joined
		} else {
			out = append(out, line)
			line = word
		}
		for s.width(line) > room {
			cut := 0
			for i := range line {
				if i > 0 && s.width(line[:i]) > room {
					break
				}
				cut = i
			}
			if cut == 0 {
				break // a single letter wider than the room
			}
			out = append(out, line[:cut])
			line = line[cut:]
		}
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// balanced is lines, of which no one is much shorter than the others: the narrowest
// that makes as many.
func (c *canvas) balanced(text string, f face, size, wide float64) []string {
	best := c.lines(text, f, size, wide)
	for low, high := wide/2, wide; high-low > 8; {
		at := (low + high) / 2
		if tried := c.lines(text, f, size, at); len(tried) <= len(best) {
			best, high = tried, at
		} else {
			low = at
		}
	}
	return best
}

// wordsFit is the largest of a size and those below it at which no word is wider than
// the room.
func (c *canvas) wordsFit(text string, f face, size, least, wide float64) float64 {
	for _, word := range strings.Fields(text) {
		for size > least && c.width(word, f, size) > wide {
			size -= 2
		}
	}
	return size
}

// paragraph draws a text in lines, at most so many, the last with an ellipsis where
// more would follow; y is where the first line stands. It returns where the line
// after the last would stand.
func (c *canvas) paragraph(x, y, wide float64, most int, text string, f face, size, lead float64,
	ink color.RGBA) float64 {
	for _, line := range c.some(c.lines(text, f, size, wide), most, f, size, wide) {
		c.text(x, y, line, f, size, ink)
		y += lead
	}
	return y
}

// some are at most so many of the lines.
func (c *canvas) some(lines []string, most int, f face, size, wide float64) []string {
	if len(lines) <= most {
		return lines
	}
	last := lines[most-1]
	for last != "" && c.width(last+" …", f, size) > wide {
		cut := strings.LastIndexByte(last, ' ')
		if cut < 0 {
			break
		}
		last = last[:cut]
	}
	return append(lines[:most-1:most-1], strings.TrimRight(last, " ,;:–")+" …")
}
