namespace XoverOpt.Worker.Access;

/// <summary>Headers that tell a browser to be careful with what the worker sends.</summary>
internal static class SafeHeaders
{
    private const string OwnOnly = "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'";

    // The queue's own pages bring styles and a little script within them.
    private const string Dashboard = OwnOnly + "; style-src 'self' 'unsafe-inline'; script-src 'self' 'unsafe-inline'; img-src 'self' data:";

    private static readonly string[] NeverKept = ["/api", "/health", "/metrics", "/queue", "/openapi"];

    /// <summary>Sets them on every answer, errors included.</summary>
    public static Task Add(HttpContext context, RequestDelegate next)
    {
        // At the last moment: an error clears what was set before.
        context.Response.OnStarting(
            static state =>
            {
                HttpContext context = (HttpContext)state;
                IHeaderDictionary headers = context.Response.Headers;
                PathString path = context.Request.Path;

                // A paper that brings its style with it says so itself, stricter than this otherwise.
                if (headers.ContentSecurityPolicy.Count == 0)
                {
                    headers.ContentSecurityPolicy = path.StartsWithSegments("/queue") ? Dashboard : OwnOnly;
                }

                headers.XContentTypeOptions = "nosniff";
                headers.XFrameOptions = "DENY";

                // Nothing to other sites; with nothing at all, browsers would name no origin for forms of our own either.
                headers["Referrer-Policy"] = "same-origin";
                headers["Cross-Origin-Opener-Policy"] = "same-origin";
                headers["Cross-Origin-Resource-Policy"] = "same-origin";
                headers["Permissions-Policy"] = "camera=(), geolocation=(), microphone=()";
                bool page = context.Response.ContentType?.StartsWith("text/html", StringComparison.Ordinal) == true;
                if (headers.CacheControl.Count == 0 && (page || NeverKept.Any(start => path.StartsWithSegments(start))))
                {
                    headers.CacheControl = "no-store";
                }

                return Task.CompletedTask;
            },
            context);
        return next(context);
    }
}
