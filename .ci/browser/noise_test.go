package browsercheck

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// What a page says, asks for and opens is heard: without this, the checks that it does nothing could not fail.
func TestNoiseIsHeard(t *testing.T) {
	good, err := os.ReadFile("testdata/good.html")
	must(t, err)
	loud := filepath.Join(t.TempDir(), "loud.html")
	csp := `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">`
	noise := `<img src="other.png" alt=""><script>alert('a dialog'); console.log('x'); throw new Error('a fault')</script></body>`
	page := strings.Replace(strings.Replace(string(good), "</body>", noise, 1), "<head>", "<head>"+csp, 1)
	must(t, os.WriteFile(loud, []byte(page), 0o644))
	b := browser(t)

	free := open(t, b, loud, true)
	free.hears(t, "the dialog", func() bool { return len(free.dialogs) == 1 && free.dialogs[0] == "a dialog" })
	free.hears(t, "the call of the console and the fault", func() bool { return len(free.said) >= 2 })
	free.hears(t, "the request", func() bool {
		return len(free.asked) == 2 && strings.HasSuffix(free.asked[1], "/other.png")
	})

	held := open(t, b, loud, false)
	held.hears(t, "that the script was held", func() bool {
		return len(held.dialogs) == 0 && strings.Contains(strings.Join(held.said, "\n"), "Content Security Policy")
	})
}

// hears waits a little for what must have been heard.
func (p *tab) hears(t *testing.T, what string, heard func() bool) {
	t.Helper()
	for range 100 {
		p.mu.Lock()
		ok := heard()
		p.mu.Unlock()
		if ok {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	t.Errorf("did not hear %s: said %q, asked for %q, dialogs %q", what, p.said, p.asked, p.dialogs)
}
