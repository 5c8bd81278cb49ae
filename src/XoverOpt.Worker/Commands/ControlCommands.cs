using System.CommandLine;
using System.Text.Json.Nodes;

namespace XoverOpt.Worker.Commands;

/// <summary><c>stop</c>, <c>delete</c>, <c>priority</c>, <c>pause</c>, <c>resume</c>: one request each to a running worker.</summary>
internal static class ControlCommands
{
    private const string Exits = "Exit codes: 0 done; 1 no such run, or the key is wrong; 2 no worker answers.";

    /// <summary>The commands.</summary>
    public static IEnumerable<Command> Create()
    {
        yield return OfRun(
            "stop",
            "Stops a run; the best so far is kept.",
            HttpMethod.Post,
            "/stop",
            run => $"{(string?)run["id"]}: {(string?)run["state"]}");
        yield return OfRun(
            "delete",
            "Deletes a run that has ended, with its builds and everything else kept of it.",
            HttpMethod.Delete,
            "",
            run => $"{(string?)run["id"]}: deleted");
        yield return Priority();
        yield return OfWorker("pause", "Lets the worker begin nothing more, and leave what it works on at its last checkpoint, until resume.");
        yield return OfWorker("resume", "Lets a paused worker go on.");
    }

    private static Command OfRun(string name, string about, HttpMethod method, string action, Func<JsonObject, string> words)
    {
        Argument<string> id = new("ID") { Description = "The id of the run." };
        string guide = $"Examples:\n  xoveropt {name} 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11\n\n{Exits}";
        return WorkerLink.Command(new GuidedCommand(name, about, guide) { id }, async (parsed, link, end) =>
        {
            string run = parsed.GetRequiredValue(id);
            byte[] body = await link.Send(method, $"/api/jobs/{Uri.EscapeDataString(run)}{action}", end).ConfigureAwait(false);
            Console.WriteLine(words(body.Length == 0 ? new JsonObject { ["id"] = run } : JsonNode.Parse(body)!.AsObject()));
            return ExitCode.Done;
        });
    }

    private static Command Priority()
    {
        Argument<string> id = new("ID") { Description = "The id of the run." };
        Argument<string> value = new("N") { Description = "Higher goes first; 0 is usual. Negative ones after --, such as: priority -- ID -5" };
        string guide = $"Examples:\n  xoveropt priority 019a7c52-5a0e-7c61-9c35-0d3f6a1f2b11 10\n\n{Exits}";
        return WorkerLink.Command(new GuidedCommand("priority", "Changes how urgent a run is that has not ended.", guide) { id, value }, async (parsed, link, end) =>
        {
            string run = parsed.GetRequiredValue(id);
            JsonObject now = await link.Ask(
                HttpMethod.Put, $"/api/jobs/{Uri.EscapeDataString(run)}/priority?value={Uri.EscapeDataString(parsed.GetRequiredValue(value))}", end).ConfigureAwait(false);
            Console.WriteLine($"{run}: priority {now["priority"] ?? 0}");
            return ExitCode.Done;
        });
    }

    private static Command OfWorker(string name, string about) =>
        WorkerLink.Command(new GuidedCommand(name, about, $"Examples:\n  xoveropt {name}\n\n{Exits}"), async (_, link, end) =>
        {
            JsonObject worker = await link.Ask(HttpMethod.Post, "/api/worker/" + name, end).ConfigureAwait(false);
            Console.WriteLine((bool)worker["paused"]! ? "The worker is paused." : "The worker works.");
            return ExitCode.Done;
        });
}
