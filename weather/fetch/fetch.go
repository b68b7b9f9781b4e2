package fetch

import (
	"context"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"syscall"
	"time"

	"gelwright/weather"
	"gelwright/weather/forecast"
)

// Client asks for forecasts. The zero value works, without keeping answers.
type Client struct {
	// HTTP is used for requests; nil is a client of its own.
	HTTP *http.Client
	// Folder keeps answers; empty keeps none. It is made when missing.
	Folder string
	// Keep keeps answers in place of a folder; nil leaves it to Folder.
	Keep Keeper
	// Timeout of one request; 0 is 20 s.
	Timeout time.Duration
	// KeepFor is the greatest age at which a kept answer stands in when the service
	// cannot be reached; 0 is 24 h.
	KeepFor time.Duration
	// Now is the clock; nil is time.Now.
	Now func() time.Time
}

// Outcome tells where the answer came from.
type Outcome struct {
	Address string
	// Fetched is when the service gave it, or last said that it still holds.
	Fetched time.Time
	// Kept is set when no new answer came over the network: it had not expired, the
	// service said it had not changed (Unchanged), or could not be reached (Stale,
	// with the reason in Why).
	Kept, Unchanged, Stale bool
	Why                    error
	// Body is the answer as it came, new or kept; Expires is until when it need not be asked for again.
	Body    []byte
	Expires time.Time
}

// ErrNoAnswer is wrapped when there is neither an answer nor a kept one.
var ErrNoAnswer = errors.New("no forecast. Try again later, give a forecast as a file, or plan from monthly norms")

const (
	leastLife   = 10 * time.Minute
	longestLife = 6 * time.Hour
)

// Forecast asks the provider for the forecast of a site, or gives the kept one.
func (c *Client) Forecast(ctx context.Context, p Provider, site weather.Site) (weather.Forecast, Outcome, error) {
	address, err := p.URL(site)
	if err != nil {
		return weather.Forecast{}, Outcome{}, err
	}
	now := c.now()
	out := Outcome{Address: address}
	kept, keptForecast, had, err := c.readKept(ctx, address)
	if err != nil {
		return weather.Forecast{}, out, err
	}
	if had && now.Before(kept.Expires) && !now.Before(kept.Fetched) {
		out.Kept, out.Fetched, out.Body, out.Expires = true, kept.Fetched, kept.Body, kept.Expires
		return keptForecast, out, nil
	}
	if !had {
		kept = Answer{}
	}
	fresh, unchanged, err := c.ask(ctx, p, address, kept, now)
	if err == nil && !unchanged {
		var f weather.Forecast
		if f, err = forecast.Read(fresh.Body, forecast.Options{Name: address}); err == nil {
			out.Fetched, out.Body, out.Expires = now, fresh.Body, fresh.Expires
			if err := c.store(ctx, fresh); err != nil {
				f.Notes = append(f.Notes, "the answer could not be kept: "+err.Error())
			}
			return f, out, nil
		}
	}
	switch {
	case err == nil:
		out.Kept, out.Unchanged, out.Fetched, out.Body, out.Expires = true, true, now, fresh.Body, fresh.Expires
		if err := c.store(ctx, fresh); err != nil {
			keptForecast.Notes = append(keptForecast.Notes, "the answer could not be kept: "+err.Error())
		}
		return keptForecast, out, nil
	case ctx.Err() != nil:
		return weather.Forecast{}, out, ctx.Err()
	case had && now.Sub(kept.Fetched) <= c.keepFor():
		out.Kept, out.Stale, out.Fetched, out.Why, out.Body, out.Expires = true, true, kept.Fetched, err, kept.Body, kept.Expires
		keptForecast.Notes = append(keptForecast.Notes,
			fmt.Sprintf("forecast of %s, %.1f h old: %v", kept.Fetched.UTC().Format("2006-01-02 15:04 UTC"), now.Sub(kept.Fetched).Hours(), err))
		return keptForecast, out, nil
	}
	out.Why = err
	return weather.Forecast{}, out, fmt.Errorf("weather provider %q: %w: %w", p.Name, err, ErrNoAnswer)
}

// readKept gives a kept answer; one that cannot be read any more counts as none.
func (c *Client) readKept(ctx context.Context, address string) (Answer, weather.Forecast, bool, error) {
	kept, had, err := c.load(ctx, address)
	if err != nil || !had {
		return kept, weather.Forecast{}, false, err
	}
	f, err := forecast.Read(kept.Body, forecast.Options{Name: address})
	return kept, f, err == nil, nil
}

// client is the one to ask with; it is sent on to no address that is not asked over https.
func (c *Client) client() *http.Client {
	client := http.Client{}
	if c.HTTP != nil {
		client = *c.HTTP
	}
	before := client.CheckRedirect
	client.CheckRedirect = func(r *http.Request, via []*http.Request) error {
		switch {
		case r.URL.Scheme != "https":
			return fmt.Errorf("%w to an address that is not asked over https", errSentOn)
		case before != nil:
			return before(r, via)
		case len(via) >= 10:
			return fmt.Errorf("%w without end", errSentOn)
		}
		return nil
	}
	return &client
}

// ask makes one request, on condition when there is a kept answer.
func (c *Client) ask(ctx context.Context, p Provider, address string, kept Answer, now time.Time) (fresh Answer, unchanged bool,
	err error) {
	ctx, cancel := context.WithTimeout(ctx, c.timeout())
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return fresh, false, err
	}
	req.Header.Set("Accept", "application/json")
	if p.Asker != "" {
		req.Header.Set("User-Agent", p.Asker)
	}
	if kept.ETag != "" {
		req.Header.Set("If-None-Match", kept.ETag)
	}
	if kept.LastModified != "" {
		req.Header.Set("If-Modified-Since", kept.LastModified)
	}
	resp, err := c.client().Do(req)
	if err != nil {
		if errors.Is(err, context.DeadlineExceeded) {
			return fresh, false, fmt.Errorf("it did not answer within %s", c.timeout())
		}
		return fresh, false, unreached(req.URL.Host, err)
	}
	defer resp.Body.Close()
	fresh = Answer{Address: address, ETag: resp.Header.Get("ETag"), LastModified: resp.Header.Get("Last-Modified"), Fetched: now,
		Expires: expiry(resp.Header, now)}
	if resp.StatusCode == http.StatusNotModified {
		if len(kept.Body) == 0 {
			return fresh, false, errors.New("it says that nothing has changed, but no answer is kept")
		}
		fresh.Body = kept.Body
		if fresh.ETag == "" {
			fresh.ETag = kept.ETag
		}
		if fresh.LastModified == "" {
			fresh.LastModified = kept.LastModified
		}
		return fresh, true, nil
	}
	body, err := io.ReadAll(io.LimitReader(resp.Body, forecast.MaxBytes+1))
	switch {
	case err != nil && errors.Is(err, context.DeadlineExceeded):
		return fresh, false, fmt.Errorf("its answer broke off after %s", c.timeout())
	case err != nil:
		return fresh, false, fmt.Errorf("its answer broke off: %w", err)
	case resp.StatusCode != http.StatusOK && resp.StatusCode != http.StatusNonAuthoritativeInfo:
		return fresh, false, refusal(resp, body, now)
	case len(body) > forecast.MaxBytes:
		return fresh, false, fmt.Errorf("its answer is above %d bytes", forecast.MaxBytes)
	}
	fresh.Body = body
	return fresh, false, nil
}

// unreached says in words why nobody answered, and what to do; the error itself stays underneath.
func unreached(host string, err error) error {
	var name *net.DNSError
	var authority x509.UnknownAuthorityError
	var other x509.HostnameError
	var old x509.CertificateInvalidError
	said := "the connection failed; see whether this computer is on the network"
	switch {
	case errors.As(err, &name) && name.IsNotFound:
		said = "no computer of that name is known; see whether this one is on the network, and check the address in the firm file"
	case errors.As(err, &name):
		said = "its name could not be looked up; see whether this computer is on the network"
	case errors.Is(err, syscall.ECONNREFUSED):
		said = "nobody listens there; check the address in the firm file, or wait until the service is back"
	case errors.Is(err, syscall.ENETUNREACH), errors.Is(err, syscall.EHOSTUNREACH):
		said = "there is no way to it; see whether this computer is on the network"
	case errors.As(err, &authority), errors.As(err, &other), errors.As(err, &old):
		said = "its certificate is not to be trusted; check the address in the firm file and this computer's clock"
	default:
		var asked *url.Error
		if errors.As(err, &asked) && errors.Is(err, errSentOn) {
			said = asked.Err.Error() + "; check the address in the firm file"
		}
	}
	return &silence{fmt.Sprintf("%s cannot be reached: %s", host, said), err}
}

// silence is that nobody answered.
type silence struct {
	said string
	why  error
}

func (s *silence) Error() string { return s.said }
func (s *silence) Unwrap() error { return s.why }

// errSentOn is why an address that is sent on to is not followed.
var errSentOn = errors.New("it sends on")

// Refusal is an answer that is no forecast.
type Refusal struct {
	Status int
	// Wait is how long the service asks to be left alone; 0 where it does not say.
	Wait time.Duration
	said string
}

// Error says what the service answered and what to do.
func (r *Refusal) Error() string { return r.said }

// longestAsked is the longest wait that is taken from a service's word.
const longestAsked = 24 * time.Hour

// waitIn is the wait that a Retry-After asks for: seconds, or a time.
func waitIn(text string, now time.Time) time.Duration {
	wait := time.Duration(0)
	if s, err := strconv.Atoi(text); err == nil {
		wait = time.Duration(min(s, 1<<20)) * time.Second
	} else if t, err := http.ParseTime(text); err == nil {
		wait = t.Sub(now)
	}
	return max(0, min(wait, longestAsked))
}

// refusal puts a status into words, with what to do and the head of what it said.
func refusal(resp *http.Response, body []byte, now time.Time) error {
	remedy := "try again later"
	switch s := resp.StatusCode; {
	case s == http.StatusForbidden || s == http.StatusUnauthorized:
		remedy = "write who asks (firm and e-mail) in the firm file, as the service requires, and check its terms"
	case s == http.StatusNotFound || s == http.StatusBadRequest || s == http.StatusUnprocessableEntity:
		remedy = "check the provider's address in the firm file and the site's latitude and longitude"
	case s == http.StatusTooManyRequests:
		remedy = "ask less often"
		if after := resp.Header.Get("Retry-After"); after != "" {
			remedy += "; it asks to wait " + clip(after, 40)
			if _, err := strconv.Atoi(after); err == nil {
				remedy += " s"
			}
		}
	}
	said := strings.Join(strings.Fields(strings.ToValidUTF8(string(body[:min(len(body), 400)]), "")), " ")
	if said != "" {
		said = ": " + clip(said, 160)
	}
	return &Refusal{Status: resp.StatusCode, Wait: waitIn(resp.Header.Get("Retry-After"), now),
		said: fmt.Sprintf("it answered %s%s (%s)", clip(resp.Status, 60), said, remedy)}
}

func clip(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n]) + "…"
	}
	return s
}

// expiry is until when the answer need not be asked for again: what the service
// says, between ten minutes and six hours.
func expiry(h http.Header, now time.Time) time.Time {
	life := time.Duration(0)
	for _, part := range strings.Split(h.Get("Cache-Control"), ",") {
		if text, ok := strings.CutPrefix(strings.TrimSpace(part), "max-age="); ok {
			if s, err := strconv.Atoi(text); err == nil && s > 0 {
				life = time.Duration(min(s, 1<<20)) * time.Second
			}
		}
	}
	if life == 0 {
		if t, err := http.ParseTime(h.Get("Expires")); err == nil {
			life = t.Sub(now)
		}
	}
	return now.Add(max(leastLife, min(life, longestLife)))
}

func (c *Client) now() time.Time {
	if c.Now == nil {
		return time.Now()
	}
	return c.Now()
}

func (c *Client) timeout() time.Duration {
	if c.Timeout <= 0 {
		return 20 * time.Second
	}
	return c.Timeout
}

func (c *Client) keepFor() time.Duration {
	if c.KeepFor <= 0 {
		return 24 * time.Hour
	}
	return c.KeepFor
}
