using System.CommandLine;
using System.Globalization;
using System.Text;
using System.Text.Json;
using XoverOpt.Worker.Api;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Commands;

/// <summary><c>where-used PART</c>: the stored builds that use a part, and what goes if it goes.</summary>
internal static class WhereUsedCommand
{
    private const string About = "Which stored builds use a part, and what each job loses if it goes. Asks the running worker, or a store by itself.";

    private const string Guide =
        """
        A receiver, damper or tubing goes by its part number; what has none by kind and value.

        Examples:
          xoveropt where-used OS-L2
          xoveropt where-used "resistor 39 ohm" --most 200
          xoveropt where-used OS-T13 --store data --json

        Exit codes: 0 answered; 1 there is no such part, or the command line or the key is wrong; 2 no worker answers.
        """;

    private static readonly JsonSerializerOptions Indented = new(ApiJson.Options) { WriteIndented = true };

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Argument<string> part = new("PART") { Description = "The part." };
        Option<string?> store = new("--store") { Description = "Ask this store, a folder or a PostgreSQL connection string, instead of a worker.", HelpName = "STORE" };
        Option<int> most = new("--most") { Description = "At most so many builds and jobs.", HelpName = "N", DefaultValueFactory = _ => 20 };
        Option<bool> json = new("--json") { Description = "Print JSON: uses and without, each as the worker's API gives it." };
        most.Allow(count => count is >= 1 and <= PartUsesApi.MaxPage, $"1 to {PartUsesApi.MaxPage}");
        return WorkerLink.Command(new GuidedCommand("where-used", About, Guide) { part, store, most, json }, async (parsed, link, end) =>
        {
            string asked = parsed.GetRequiredValue(part);
            int take = parsed.GetValue(most);
            if (parsed.GetValue(store) is { } address)
            {
                using WorkshopStore opened = WorkshopStore.OpenBeside(address, TimeProvider.System);
                PartUseAnswers answers = new(opened.PartUses, () => null);
                return answers.Name(asked, out Fault? fault) is { } name
                    ? Print(answers.Uses(name, null, take), answers.Without(name, null, take), parsed.GetValue(json))
                    : CommandLine.Refuse([fault!]);
            }

            return Print(await Ask<PartUsesPage>("uses").ConfigureAwait(false), await Ask<PartWithoutPage>("without").ConfigureAwait(false), parsed.GetValue(json));

            async Task<T> Ask<T>(string question) => (await link.Ask(
                HttpMethod.Get, string.Create(CultureInfo.InvariantCulture, $"{PartUseAnswers.Address(asked)}/{question}?limit={take}"), end).ConfigureAwait(false)).Deserialize<T>(ApiJson.Options)!;
        });
    }

    private static int Print(PartUsesPage uses, PartWithoutPage without, bool json)
    {
        Console.OutputEncoding = Encoding.UTF8;
        foreach (string line in json ? [JsonSerializer.Serialize(new { uses, without }, Indented)] : PartUseText.Lines(uses, without))
        {
            Console.WriteLine(line);
        }

        return ExitCode.Done;
    }
}
