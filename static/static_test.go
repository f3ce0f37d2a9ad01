package static

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"net/http/httptest"
	"path"
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
		"app.js":    "text/javascript; charset=utf-8",
		"outbox.js": "text/javascript; charset=utf-8",
		"melt.js":   "text/javascript; charset=utf-8",
		"pad.js":    "text/javascript; charset=utf-8",
		"sw.js":     "text/javascript; charset=utf-8",
		"icon.svg":  "image/svg+xml",
	}
	for _, name := range []string{"photo.js", "notice.js", "live.js", "kept.js"} {
		kinds[name] = kinds["app.js"]
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
	assert.Equal(t, http.StatusMethodNotAllowed, get(http.MethodPost, Path("app.js")).StatusCode)
}

func TestAnUnknownNameIsAProgrammingError(t *testing.T) {
	assert.Panics(t, func() { Path("missing.css") })
}

// The phone in the shed loads these over whatever it has.
func TestFilesStaySmall(t *testing.T) {
	assert.Less(t, len(assets["app.css"].body), 26*1024)
	var scripts bytes.Buffer
	z, err := gzip.NewWriterLevel(&scripts, 5) // as the server does
	require.NoError(t, err)
	for name, a := range assets {
		if path.Ext(name) == ".js" {
			_, err := z.Write(a.body)
			require.NoError(t, err)
		}
	}
	require.NoError(t, z.Close())
	t.Logf("the scripts are %d bytes compressed", scripts.Len())
	assert.Less(t, scripts.Len(), 15*1024)
	assert.NotContains(t, string(assets["app.js"].body), "\n//")
	assert.Less(t, len(assets["icon.svg"].body), 1_500)
}
