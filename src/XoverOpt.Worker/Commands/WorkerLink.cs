using System.CommandLine;
using System.Net.Http.Headers;
using System.Net.Sockets;
using System.Text.Json.Nodes;

namespace XoverOpt.Worker.Commands;

/// <summary>The line from a command to a running worker. What goes wrong is told in a line or two and becomes an exit code.</summary>
internal sealed class WorkerLink : IDisposable
{
    private readonly string _url;

    private WorkerLink(string url, string? key)
    {
        _url = url.TrimEnd('/');
        Http = new HttpClient { BaseAddress = new Uri(_url + "/"), Timeout = TimeSpan.FromSeconds(100) };
        if (!string.IsNullOrEmpty(key))
        {
            Http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", key);
        }
    }

    private HttpClient Http { get; }

    /// <summary>A command that speaks to a worker, with the options every such command has.</summary>
    /// <param name="command">The command.</param>
    /// <param name="work">Does it and gives the exit code.</param>
    public static Command Command(Command command, Func<ParseResult, WorkerLink, CancellationToken, Task<int>> work)
    {
        Option<string> url = new("--url")
        {
            Description = "Where the worker listens; XOVEROPT_URL in its place.",
            HelpName = "URL",
            DefaultValueFactory = _ => Environment.GetEnvironmentVariable("XOVEROPT_URL") ?? new Host.WorkerSettings().Urls[0],
        };
        Option<string?> key = new("--key")
        {
            Description = "Access key, where the worker asks for one; better in the environment as XOVEROPT_KEY, since others see command lines.",
            HelpName = "K",
        };
        url.Allow(text => Uri.TryCreate(text, UriKind.Absolute, out Uri? uri) && uri.Scheme is "http" or "https", "an address such as http://127.0.0.1:5080");
        command.Add(url);
        command.Add(key);
        command.SetAction(async (parsed, end) =>
        {
            using WorkerLink link = new(parsed.GetRequiredValue(url), parsed.GetValue(key) ?? Environment.GetEnvironmentVariable("XOVEROPT_KEY"));
            try
            {
                return await work(parsed, link, end).ConfigureAwait(false);
            }
            catch (WorkerAnswerException answer)
            {
                Console.Error.WriteLine($"xoveropt: {answer.Message}");
                return answer.ExitCode;
            }
        });
        return command;
    }

    /// <summary>Asks the worker for something.</summary>
    /// <returns>The answer's bytes.</returns>
    /// <exception cref="WorkerAnswerException">No worker answers, or it refuses.</exception>
    public async Task<byte[]> Send(HttpMethod method, string path, CancellationToken end, byte[]? json = null, string? idempotencyKey = null, string? accept = null)
    {
        using HttpRequestMessage request = new(method, path.TrimStart('/'));
        if (accept is not null)
        {
            request.Headers.Accept.Add(new MediaTypeWithQualityHeaderValue(accept));
        }

        if (json is not null)
        {
            request.Content = new ByteArrayContent(json);
            request.Content.Headers.ContentType = new("application/json");
        }

        if (idempotencyKey is not null)
        {
            request.Headers.Add("Idempotency-Key", idempotencyKey);
        }

        try
        {
            using HttpResponseMessage response = await Http.SendAsync(request, end).ConfigureAwait(false);
            byte[] body = await response.Content.ReadAsByteArrayAsync(end).ConfigureAwait(false);
            return response.IsSuccessStatusCode ? body : throw Refusal(response, body);
        }
        catch (HttpRequestException failure)
        {
            bool nobody = failure.InnerException is SocketException { SocketErrorCode: SocketError.ConnectionRefused or SocketError.HostNotFound };
            throw new WorkerAnswerException(
                ExitCode.CouldNotBeDone,
                $"no worker answers at {_url} ({(failure.InnerException ?? failure).Message}). "
                    + (nobody ? "Start one with serve, or name its address with --url." : "Try again, or name another address with --url."),
                passing: true);
        }
        catch (OperationCanceledException) when (!end.IsCancellationRequested)
        {
            throw new WorkerAnswerException(ExitCode.CouldNotBeDone, $"the worker at {_url} does not answer in time.", passing: true);
        }
    }

    /// <summary>Asks the worker for something that is a JSON object.</summary>
    /// <exception cref="WorkerAnswerException">No worker answers, or it refuses.</exception>
    public async Task<JsonObject> Ask(HttpMethod method, string path, CancellationToken end, byte[]? json = null, string? idempotencyKey = null)
    {
        byte[] body = await Send(method, path, end, json, idempotencyKey).ConfigureAwait(false);
        try
        {
            return JsonNode.Parse(body)!.AsObject();
        }
        catch (Exception failure) when (failure is System.Text.Json.JsonException or InvalidOperationException or NullReferenceException)
        {
            throw new WorkerAnswerException(ExitCode.CouldNotBeDone, $"what answers at {_url} is not a worker.");
        }
    }

    /// <inheritdoc/>
    public void Dispose() => Http.Dispose();

    private WorkerAnswerException Refusal(HttpResponseMessage response, byte[] body)
    {
        int status = (int)response.StatusCode;
        JsonNode? problem = null;
        try
        {
            problem = response.Content.Headers.ContentType?.MediaType == "application/problem+json" ? JsonNode.Parse(body) : null;
        }
        catch (System.Text.Json.JsonException)
        {
            // Not what a worker says: told by its status alone.
        }

        IEnumerable<string> faults = (problem?["faults"]?.AsArray() ?? [])
            .Select(fault => $"\n{(fault!["file"] is { } file ? $"{file} at " : "")}{fault["pointer"]}: found {fault["found"]}; allowed: {fault["allowed"]}."
                + (fault["hint"] is { } hint ? $" {hint}" : ""));
        string what = (string?)problem?["detail"] ?? $"what answers at {_url} says {status} {response.ReasonPhrase}; is it a worker?";
        bool passing = status is 429 or >= 500;
        return new WorkerAnswerException(passing ? ExitCode.CouldNotBeDone : ExitCode.WrongInput, what + string.Concat(faults), passing);
    }
}

/// <summary>A worker that does not answer or refuses; the message is for people.</summary>
/// <param name="exitCode">What to tell the shell.</param>
/// <param name="message">What went wrong.</param>
/// <param name="passing">Whether it may pass by itself.</param>
internal sealed class WorkerAnswerException(int exitCode, string message, bool passing = false) : Exception(message)
{
    /// <summary>What to tell the shell.</summary>
    public int ExitCode => exitCode;

    /// <summary>Whether it may pass by itself.</summary>
    public bool Passing => passing;
}
