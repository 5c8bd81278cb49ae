using System.Globalization;
using Microsoft.AspNetCore.Mvc.RazorPages;
using XoverOpt.Worker.Text;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Pages;

/// <summary>Builds, of one run or of several, side by side.</summary>
internal sealed class CompareModel(IRunStore store) : PageModel
{
    private const int Most = 4;

    private static readonly (string Name, string Figure, int Decimals, string Unit, int Better)[] Rows =
    [
        ("magnitude error, RMS", "magnitudeRmsDb", 2, "dB", -1),
        ("magnitude error, largest", "magnitudeMaxDb", 2, "dB", -1),
        ("phase, RMS", "phaseRmsDeg", 1, "°", -1),
        ("phase, largest", "phaseMaxDeg", 1, "°", -1),
        ("arrivals apart", "arrivalSpreadUs", 1, "µs", -1),
        ("summing loss where ways overlap", "summingLossDb", 2, "dB", -1),
        ("SPL at 100 mV, 500 Hz", "splAt100mV", 1, "dB", 1),
        ("SPL at 1 mW, 500 Hz", "splAt1mW", 1, "dB", 1),
        ("impedance, least", "impedanceMinOhm", 1, "Ω", 0),
        ("change on a 10 Ω source", "sourceShiftDb", 2, "dB", -1),
        ("price of the parts", "partsCost", 2, "", -1),
        ("receivers", "receivers", 0, "", -1),
        ("parts in all", "parts", 0, "", -1),
        ("room of the receivers", "bodyVolumeMm3", 0, "mm³", -1),
    ];

    /// <summary>The builds.</summary>
    public IReadOnlyList<(RunRecord Run, BuildRow Build)> Builds { get; private set; } = [];

    /// <summary>What was asked for and is not there.</summary>
    public IReadOnlyList<string> Lacking { get; private set; } = [];

    /// <summary>Runs to choose from.</summary>
    public IReadOnlyList<RunRecord> Runs { get; private set; } = [];

    /// <summary>The figures: name, unit, and a value a build with whether it is the best.</summary>
    public IReadOnlyList<(string Name, string Unit, IReadOnlyList<(string Text, bool Best)> Values)> Figures { get; private set; } = [];

    /// <summary>Shows them.</summary>
    /// <param name="with">Builds as RUN:RANK, or RUN for its best.</param>
    /// <param name="run">A run whose ranks follow.</param>
    /// <param name="rank">Ranks of that run.</param>
    public void OnGet(string[] with, string? run, string[] rank)
    {
        string[] wanted = [.. with.Where(one => one.Length > 0), .. run is null ? [] : rank.Select(one => $"{run}:{one}")];
        List<(RunRecord, BuildRow)> found = [];
        List<string> lacking = [];
        foreach (string one in wanted.Distinct())
        {
            string[] parts = one.Split(':', 2);
            string place = parts.Length == 2 && parts[1].Trim().Length > 0 ? parts[1].Trim() : "1";
            if (found.Count == Most)
            {
                lacking.Add($"Of more than {Most} builds the first {Most} are shown.");
                break;
            }

            if (store.Find(parts[0].Trim()) is not { } record)
            {
                lacking.Add($"There is no run '{parts[0]}'.");
            }
            else if (!int.TryParse(place, NumberStyles.None, CultureInfo.InvariantCulture, out int number) || store.Build(record.Id, number) is not { } build)
            {
                lacking.Add($"The run '{record.Name}' has no build '{place}'.");
            }
            else
            {
                found.Add((record, BuildRow.Of(build)));
            }
        }

        (Builds, Lacking) = (found, lacking);
        Runs = [.. store.List(null, null, 50).Where(one => one.State is RunState.Done or RunState.Stopped or RunState.Running)];
        Figures = [Row("cost", "", 4, -1, build => build.Cost), .. Rows.Select(row => Row(row.Name, row.Unit, row.Decimals, row.Better, build => build[row.Figure]))];
    }

    private (string, string, IReadOnlyList<(string, bool)>) Row(string name, string unit, int decimals, int better, Func<BuildRow, double?> value)
    {
        double?[] values = [.. Builds.Select(pair => value(pair.Build))];
        double? best = better > 0 ? values.Max() : better < 0 ? values.Min() : null;
        string Text(double? number) => Numbers.Fixed(number, decimals);
        bool differ = values.Select(Text).Distinct().Count() > 1;
        return (name, unit, [.. values.Select(number => (Text(number), differ && best is not null && Text(number) == Text(best)))]);
    }
}
