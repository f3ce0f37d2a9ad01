package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/server/label"
)

// TestLabelsAreReadBack prints labels on every paper and reads their codes off
// it with a program that knows nothing of how they were drawn (ZBar).
func TestLabelsAreReadBack(t *testing.T) {
	reader, err := exec.LookPath("zbarimg")
	if err != nil && os.Getenv("DROSSWISE_BROWSER") != "required" {
		t.Skip("no zbarimg found: install it (Debian: apt-get install zbar-tools) to have labels read back")
	}
	require.NoError(t, err)
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.workedMelt(habits["kg and point"])
	p.save(p.fill("/scrap/1/lots/new", "/scrap/1/lots", "as_found", "40", "as_charged", "36.5"))
	b := browse(t, s.server.URL)
	b.signIn()
	const at = "http://workshop.example.org:8372" // as long as most
	want := []string{at + "/melts/" + string(code), at + "/kit/2", at + "/kit/3", at + "/scrap/1", at + "/scrap/1#lot-1"}
	slices.Sort(want)
	for _, stock := range label.Stocks {
		b.scheme("dark") // paper is white whatever the device prefers
		b.open(fmt.Sprintf("/labels?of=kit-2&of=kit-3&of=scrap-1&of=lot-1&codes=%s&stock=%s&at=%s&start=%d", code, stock.Name, at, stock.Labels()-1))
		assert.Empty(t, b.violations(), stock.Name)
		assert.Empty(t, b.sideways(), stock.Name)

		pages, sizes := b.printed()
		sheets, size := 2, papers[strings.Split(stock.Name, "-")[0]]
		switch stock.Name {
		case "one":
			sheets, size = 1, papers["letter"] // what is in the printer: the margins alone are said
		case "roll":
			sheets, size = 5, [2]float64{62, 29}
		}
		assert.Equal(t, sheets, pages, "%s: sheets of paper", stock.Name)
		assert.InDelta(t, size[0], sizes[0], 0.5, "%s: mm across", stock.Name)
		assert.InDelta(t, size[1], sizes[1], 0.5, "%s: mm down", stock.Name)

		picture := b.onPaper()
		b.scheme("light")
		out, err := exec.Command(reader, "--quiet", "--raw", "--nodbus", picture).Output()
		require.NoError(t, err, stock.Name)
		read := strings.Fields(string(out))
		slices.Sort(read)
		assert.Equal(t, want, read, stock.Name)
	}
	assert.Empty(t, b.complained())
}

// papers are sizes in mm: A4 (ISO 216:2007) and Letter (8.5 by 11 in).
var papers = map[string][2]float64{"a4": {210, 297}, "letter": {215.9, 279.4}}

// printed prints the page that is open and counts the sheets; the size of the
// first is in mm.
func (b *tab) printed() (sheets int, size [2]float64) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
	require.NoError(b.t, err)
	boxes := regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]`).FindAllSubmatch(pdf, -1)
	require.NotEmpty(b.t, boxes)
	for i := range size {
		var points float64
		_, err := fmt.Sscan(string(boxes[0][i+1]), &points)
		require.NoError(b.t, err)
		size[i] = points / 72 * 25.4
	}
	return len(regexp.MustCompile(`/Type /Page\b[^s]`).FindAll(pdf, -1)), size
}

// onPaper takes a picture of the page as it is printed, at about 200 dots an
// inch, as poor printers and phone cameras do.
func (b *tab) onPaper() (file string) {
	b.t.Helper()
	b.size(840, 1100)
	b.do(call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}))
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	picture, err := chromedp.Run(ctx, chromedp.ScreenshotScale("body", 2))
	require.NoError(b.t, err)
	require.True(b.t, bytes.HasPrefix(picture, []byte("\x89PNG")))
	file = filepath.Join(b.t.TempDir(), "labels.png")
	require.NoError(b.t, os.WriteFile(file, picture, 0o600))
	b.size(390, 844)
	return file
}
