package static

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"net/http/httptest"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func get(method, target string) *http.Response {
	w := httptest.NewRecorder()
	Handler().ServeHTTP(w, httptest.NewRequest(method, target, nil))
	return w.Result()
}

func TestFilesAreServedForGoodUnderTheirChecksum(t *testing.T) {
	kinds := map[string]string{
		"app.css":   "text/css; charset=utf-8",
		"label.css": "text/css; charset=utf-8",
		Script:      "text/javascript; charset=utf-8",
		"sw.js":     "text/javascript; charset=utf-8",
		"icon.svg":  "image/svg+xml",
	}
	for _, name := range []string{"icon-180.png", "icon-192.png", "icon-512.png", "icon-mask.png"} {
		kinds[name] = "image/png"
	}
	require.Len(t, assets, len(kinds))
	for name, kind := range kinds {
		p := Path(name)
		assert.Regexp(t, regexp.MustCompile(`^/static/[0-9a-f]{12}/`+regexp.QuoteMeta(name)+`$`), p)
		res := get(http.MethodGet, p)
		assert.Equal(t, http.StatusOK, res.StatusCode, name)
		assert.Equal(t, kind, res.Header.Get("Content-Type"))
		assert.Equal(t, "public, max-age=31536000, immutable", res.Header.Get("Cache-Control"))
		assert.Positive(t, res.ContentLength)
		assert.Equal(t, http.StatusOK, get(http.MethodHead, p).StatusCode)
	}
}

func TestAnythingElseIsNotFound(t *testing.T) {
	for _, p := range []string{
		"/static/", "/static/app.css", "/static/000000000000/app.css",
		Path("app.css") + "/", Path("app.css") + "x", "/static/../static.go",
		"/other" + Path("app.css"), "/static/000000000000/static.go",
	} {
		res := get(http.MethodGet, p)
		assert.Equal(t, http.StatusNotFound, res.StatusCode, p)
		assert.NotContains(t, res.Header.Get("Cache-Control"), "immutable", p)
	}
	assert.Equal(t, http.StatusMethodNotAllowed, get(http.MethodPost, Path(Script)).StatusCode)
}

func TestAnUnknownNameIsAProgrammingError(t *testing.T) {
	assert.Panics(t, func() { Path("missing.css") })
}

// The phone in the shed loads these over whatever it has.
func TestFilesStaySmall(t *testing.T) {
	assert.Less(t, len(assets["app.css"].body), 26*1024)
	sent := 0
	for _, name := range []string{Script, "sw.js"} {
		var compressed bytes.Buffer
		z, err := gzip.NewWriterLevel(&compressed, 5) // as the server does
		require.NoError(t, err)
		_, err = z.Write(assets[name].body)
		require.NoError(t, err)
		require.NoError(t, z.Close())
		t.Logf("%s is %d bytes compressed", name, compressed.Len())
		sent += compressed.Len()
	}
	assert.Less(t, sent, 15*1024)
	assert.Less(t, len(assets["icon.svg"].body), 1_500)
}

func TestPhonesAreSentNoRemarks(t *testing.T) {
	for _, name := range []string{Script, "sw.js"} {
		assert.NotRegexp(t, `(?m)(^|\s)//( |$)`, string(assets[name].body), name)
	}
	assert.NotContains(t, assets, scripts[0], "it is in the one script")
	for _, name := range scripts {
		assert.Contains(t, string(assets[Script].body), string(read(name)))
	}
}
