// The icon, drawn here: a low lamp that rakes over a runner and shows its gates.

package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"strings"

	"golang.org/x/image/vector"
)

// side is the side of the square the icon is drawn in.
const side = 64

// shape is a polygon of the icon, in units of side, and its color.
type shape struct {
	fill color.NRGBA
	at   []float64 // x, y, x, y, …
}

func bar(x0, y0, x1, y1 float64) []float64 { return []float64{x0, y0, x1, y0, x1, y1, x0, y1} }

// iconShapes are the icon from back to front. The colors are those of the pages at
// night, and of their lamp.
func iconShapes() []shape {
	night := color.NRGBA{0x17, 0x11, 0x0b, 255}
	beam := color.NRGBA{0xf0, 0xa8, 0x40, 64}
	lamp := color.NRGBA{0xf0, 0xa8, 0x40, 255}
	lit := color.NRGBA{0xef, 0xe6, 0xd6, 255}
	shade := color.NRGBA{0x85, 0x76, 0x61, 255}
	all := []shape{
		{night, []float64{6, 0, 58, 0, 64, 6, 64, 58, 58, 64, 6, 64, 0, 58, 0, 6}},
		{beam, []float64{19, 18, 60, 34, 60, 58, 12, 29}}, // low, from the left
		{lamp, []float64{5, 14, 15, 6, 22, 17, 12, 25}},   // the head of the lamp
		{lamp, []float64{5, 20, 9, 23, 9, 56, 5, 56}},     // its foot
	}
	// A frame with three parts on their gates, and the long shadow of each.
	for _, f := range [][]float64{bar(14, 34, 60, 37), bar(14, 55, 60, 58), bar(14, 34, 17, 58), bar(57, 34, 60, 58)} {
		all = append(all, shape{lit, f})
	}
	for i := range 3 {
		x := 20 + 12*float64(i)
		all = append(all, shape{shade, []float64{x + 7, 41, x + 12, 43, x + 12, 51, x + 7, 51}},
			shape{lit, bar(x+2, 36, x+5, 56)}, shape{lit, bar(x, 41, x+7, 51)})
	}
	return all
}

// iconSVG is the icon as Scalable Vector Graphics 1.1.
func iconSVG() []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\">\n<title>Rakelight</title>\n", side, side)
	for _, s := range iconShapes() {
		var points []string
		for i := 0; i < len(s.at); i += 2 {
			points = append(points, fmt.Sprintf("%g,%g", s.at[i], s.at[i+1]))
		}
		opacity := ""
		if s.fill.A < 255 {
			opacity = fmt.Sprintf(" fill-opacity=\"%.2f\"", float64(s.fill.A)/255)
		}
		fmt.Fprintf(&b, "<polygon fill=\"#%02x%02x%02x\"%s points=\"%s\"/>\n", s.fill.R, s.fill.G, s.fill.B, opacity,
			strings.Join(points, " "))
	}
	b.WriteString("</svg>\n")
	return []byte(b.String())
}

// iconImage is the icon n pixels wide and high.
func iconImage(n int) image.Image {
	img := image.NewNRGBA(image.Rect(0, 0, n, n))
	scale := float32(n) / side
	for _, s := range iconShapes() {
		r := vector.NewRasterizer(n, n)
		r.MoveTo(float32(s.at[0])*scale, float32(s.at[1])*scale)
		for i := 2; i < len(s.at); i += 2 {
			r.LineTo(float32(s.at[i])*scale, float32(s.at[i+1])*scale)
		}
		r.ClosePath()
		r.DrawOp = draw.Over
		r.Draw(img, img.Bounds(), image.NewUniform(s.fill), image.Point{})
	}
	return img
}

func iconPNG(n int) ([]byte, error) {
	var b bytes.Buffer
	enc := png.Encoder{CompressionLevel: png.BestCompression}
	err := enc.Encode(&b, iconImage(n))
	return b.Bytes(), err
}

// iconICO is the icon for Windows in the sizes its shell shows: a header of 6 bytes,
// 16 for each picture, then the pictures, which since Windows Vista may be PNG.
// Source: Microsoft, The format of icon resources.
func iconICO() ([]byte, error) {
	sizes := []int{16, 24, 32, 48, 64, 256}
	var head, body bytes.Buffer
	le := binary.LittleEndian
	_ = binary.Write(&head, le, []uint16{0, 1, uint16(len(sizes))}) // a buffer takes all
	for _, n := range sizes {
		data, err := iconPNG(n)
		if err != nil {
			return nil, err
		}
		wide := byte(n) // 256 is 0
		_ = binary.Write(&head, le, struct {
			W, H, Colors, Zero byte
			Planes, Bits       uint16
			Size, At           uint32
		}{wide, wide, 0, 0, 1, 32, uint32(len(data)), uint32(6 + 16*len(sizes) + body.Len())})
		body.Write(data)
	}
	return append(head.Bytes(), body.Bytes()...), nil
}

// iconICNS is the icon for macOS: a word and the length of all, then for each picture
// its type, its length with these eight bytes, and a PNG. Source: from memory of
// Apple's Icon Services; ic07, ic08 and ic09 are 128, 256 and 512 pixels.
func iconICNS() ([]byte, error) {
	var body bytes.Buffer
	be := binary.BigEndian
	for _, one := range []struct {
		kind string
		size int
	}{{"ic07", 128}, {"ic08", 256}, {"ic09", 512}} {
		data, err := iconPNG(one.size)
		if err != nil {
			return nil, err
		}
		body.WriteString(one.kind)
		_ = binary.Write(&body, be, uint32(8+len(data)))
		body.Write(data)
	}
	out := append([]byte("icns"), be.AppendUint32(nil, uint32(8+body.Len()))...)
	return append(out, body.Bytes()...), nil
}
