using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Commands;

/// <summary><c>list</c>: the runs of a worker.</summary>
internal static class ListCommand
{
    private const string About = "Lists the runs of a running worker, newest first.";

    private const string Guide =
        """
        Examples:
          xoveropt list
          xoveropt list --state running
          xoveropt list --most 500

        Exit codes: 0 listed; 1 the command line or the key is wrong; 2 no worker answers.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Option<string?> state = new("--state") { Description = $"Only those in this state: {string.Join(", ", RunStateText.All)}.", HelpName = "S" };
        Option<int> most = new("--most") { Description = "At most so many.", HelpName = "N", DefaultValueFactory = _ => 50 };
        state.Allow(text => text is null || RunStateText.Parse(text) is not null, string.Join(", ", RunStateText.All));
        most.Allow(count => count >= 1, "1 or more");
        return WorkerLink.Command(new GuidedCommand("list", About, Guide) { state, most }, (parsed, link, end) =>
            Run(parsed.GetValue(state), parsed.GetValue(most), link, end));
    }

    private static async Task<int> Run(string? state, int most, WorkerLink link, CancellationToken end)
    {
        List<JobView> runs = [];
        string? next = string.Create(CultureInfo.InvariantCulture, $"/api/jobs?limit={Math.Min(most, 200)}{(state is null ? "" : "&state=" + state)}");
        while (next is not null && runs.Count < most)
        {
            JsonObject page = await link.Ask(HttpMethod.Get, next, end).ConfigureAwait(false);
            runs.AddRange(page["jobs"].Deserialize<JobView[]>(ApiJson.Options) ?? []);
            next = (string?)page["next"];
        }

        foreach (string line in RunText.Table(runs.Take(most)))
        {
            Console.WriteLine(line);
        }

        if (next is not null || runs.Count > most)
        {
            Console.Error.WriteLine("There are more; --most shows them.");
        }

        return ExitCode.Done;
    }
}
