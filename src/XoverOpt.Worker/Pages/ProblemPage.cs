using System.Text.Encodings.Web;

namespace XoverOpt.Worker.Pages;

/// <summary>Problem details as a page, for a person whose browser asked for one; programs and the API get them as JSON.</summary>
internal sealed class ProblemPage : IProblemDetailsWriter
{
    private static readonly string[] ForPrograms = ["/api", "/health", "/metrics", "/openapi", "/schemas"];

    /// <inheritdoc/>
    public bool CanWrite(ProblemDetailsContext context)
    {
        HttpRequest request = context.HttpContext.Request;
        return request.Headers.Accept.ToString().Contains("text/html", StringComparison.Ordinal) && !ForPrograms.Any(start => request.Path.StartsWithSegments(start));
    }

    /// <inheritdoc/>
    public async ValueTask WriteAsync(ProblemDetailsContext context)
    {
        HttpResponse response = context.HttpContext.Response;
        (string title, string words) = response.StatusCode switch
        {
            StatusCodes.Status404NotFound => ("Not there", "There is no page of this address."),
            StatusCodes.Status400BadRequest when HttpMethods.IsPost(context.HttpContext.Request.Method) =>
                ("Not taken", "The form was opened before the worker was started anew, or was sent by a page of another site. Go back, load the page again and send it once more."),
            _ => (context.ProblemDetails.Title ?? "Something went wrong", context.ProblemDetails.Detail ?? ""),
        };
        response.ContentType = "text/html; charset=utf-8";
        await response.WriteAsync(
            $"""
            <!DOCTYPE html>
            <html lang="en">
            <head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>{Safe(title)} · XoverOpt</title><link rel="stylesheet" href="/css/pages.css"></head>
            <body><main><h1>{Safe(title)}</h1><p class="prose">{Safe(words)}</p><p><a href="/">To the runs</a></p></main></body>
            </html>

            """,
            context.HttpContext.RequestAborted).ConfigureAwait(false);
    }

    private static string Safe(string text) => HtmlEncoder.Default.Encode(text);
}
