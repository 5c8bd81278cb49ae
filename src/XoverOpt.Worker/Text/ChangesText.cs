using XoverOpt.Workshop.Changes;

namespace XoverOpt.Worker.Text;

/// <summary>What changed between two runs, as one would tell it.</summary>
internal static class ChangesText
{
    private const int MostParts = 30;

    /// <summary>Its lines.</summary>
    /// <param name="changes">The changes.</param>
    /// <param name="width">Most characters in a line.</param>
    public static IEnumerable<string> Lines(RunChanges changes, int width = Report.Width) =>
        Unwrapped(changes).SelectMany(line => line.Length <= width ? [line] : Hang(line, width));

    private static IEnumerable<string> Unwrapped(RunChanges changes)
    {
        yield return $"From {changes.Old.Label} to {changes.New.Label}" + (changes.Old.JobName == changes.New.JobName ? $": {changes.New.JobName}" : "");
        yield return "";
        foreach (string line in new[] { ("before", changes.Old), ("now", changes.New) }.Select(run => Run(run.Item1, run.Item2)).Concat(Asked(changes)).Concat(Drawer(changes)))
        {
            yield return line;
        }

        if (changes.Program is { } program)
        {
            yield return "";
            yield return program;
        }

        foreach (string line in Builds(changes).Concat(Best(changes)))
        {
            yield return line;
        }

        yield return "";
        yield return changes.Caution;
        yield return Report.Model;
    }

    private static string Run(string when, RunSummary run) =>
        $"  {when,-7} {(run.BestCost is { } cost ? $"best cost {Numbers.Fixed(cost, 4)}, {Plural(run.Builds, "build")}" : "no build")}"
        + $"{(run.Evaluations is { } used ? $", {Numbers.Count(used)} evaluations" : "")}; program {(run.ProgramVersion ?? "version not stated").Split('+')[0]}";

    private static IEnumerable<string> Asked(RunChanges changes)
    {
        yield return "";
        if (changes.Job.Count == 0)
        {
            yield return "The job asks for the same as before.";
            yield break;
        }

        yield return "What the job asks for has changed:";
        foreach (JobChange change in changes.Job.Take(MostParts))
        {
            yield return "  - " + change.Words;
        }

        if (changes.Job.Count > MostParts)
        {
            yield return $"  - and {Plural(changes.Job.Count - MostParts, "thing")} more";
        }
    }

    private static IEnumerable<string> Drawer(RunChanges changes)
    {
        yield return "";
        if (changes.Drawer.Count == 0)
        {
            yield return "The drawer is the same as before.";
            yield break;
        }

        yield return "The drawer has changed:";
        foreach (DrawerChange change in changes.Drawer.OrderBy(change => change.Kind == DrawerChangeKind.Supply).ThenBy(change => change.Kind == DrawerChangeKind.Added).Take(MostParts))
        {
            yield return "  - " + change.Words;
        }

        if (changes.Drawer.Count > MostParts)
        {
            yield return $"  - and {Plural(changes.Drawer.Count - MostParts, "change")} more";
        }
    }

    private static IEnumerable<string> Builds(RunChanges changes)
    {
        (BuildFate Fate, string One, string Many)[] groups =
        [
            (BuildFate.Stayed, "build kept its rank", "builds kept their rank"), (BuildFate.Rose, "build rose", "builds rose"), (BuildFate.Fell, "build fell", "builds fell"),
            (BuildFate.Died, "build is no longer in the list", "builds are no longer in the list"), (BuildFate.New, "build is new", "builds are new"),
        ];
        foreach ((BuildFate fate, string one, string many) in groups)
        {
            BuildChange[] builds = [.. changes.Builds.Where(build => build.Fate == fate)];
            if (builds.Length == 0)
            {
                continue;
            }

            yield return "";
            yield return $"{(builds.Length == 1 ? "One " + one : Numbers.Invariant($"{builds.Length} {many}"))}:";
            for (int i = 0; i < builds.Length; i++)
            {
                BuildChange build = builds[i];
                yield return $"  {Ranks(build),-8} {build.Receivers}{Cost(build)}";
                if (build.Retuned.Count > 0)
                {
                    yield return "           retuned: " + string.Join("; ", build.Retuned);
                }

                // What several in a row have for their reasons is said once, under the last of them.
                foreach (Reason reason in i + 1 < builds.Length && builds[i + 1].Why.SequenceEqual(build.Why) ? [] : build.Why)
                {
                    yield return "           " + Sentence(reason.Words);
                }
            }
        }
    }

    private static string Ranks(BuildChange build) => build switch
    {
        { OldRank: { } old, NewRank: { } now } => old == now ? Numbers.Invariant($"{now}") : Numbers.Invariant($"{old} to {now}"),
        { OldRank: { } old } => Numbers.Invariant($"was {old}"),
        _ => Numbers.Invariant($"now {build.NewRank}"),
    };

    private static string Cost(BuildChange build) => build switch
    {
        { Fate: BuildFate.Died, Old: { } old } => $"; cost {Numbers.Fixed(old.Cost, 4)}",
        { Fate: BuildFate.New, Now: { } now } => $"; cost {Numbers.Fixed(now.Cost, 4)}",
        { Old: { } old, Now: { } now } when Numbers.Fixed(old.Cost, 4) != Numbers.Fixed(now.Cost, 4) => $"; cost {Numbers.Fixed(old.Cost, 4)} to {Numbers.Fixed(now.Cost, 4)}",
        { Now: { } now } => $"; cost {Numbers.Fixed(now.Cost, 4)}",
        _ => "",
    };

    private static IEnumerable<string> Best(RunChanges changes)
    {
        if (changes is not { OldBest: { } old, NewBest: { } now, Response: { } response, Shared: { } shared })
        {
            yield break;
        }

        yield return "";
        yield return $"{"The best builds side by side",-34}{"before",10}{"now",10}";
        foreach ((string name, string one, string other) in new[]
        {
            ("cost", Numbers.Fixed(old.Cost, 4), Numbers.Fixed(now.Cost, 4)),
            ("keeps every limit", old.Feasible ? "yes" : "no", now.Feasible ? "yes" : "no"),
            ("magnitude error, dB RMS", Numbers.Fixed(old.MagnitudeRmsDb, 2), Numbers.Fixed(now.MagnitudeRmsDb, 2)),
            ("phase at most, °", Numbers.Fixed(old.PhaseMaxDeg, 1), Numbers.Fixed(now.PhaseMaxDeg, 1)),
            ("arrival spread, µs", Numbers.Fixed(old.ArrivalSpreadUs, 1), Numbers.Fixed(now.ArrivalSpreadUs, 1)),
            ("SPL at 100 mV and 500 Hz, dB", Numbers.Fixed(old.SplAt100mV, 1), Numbers.Fixed(now.SplAt100mV, 1)),
            ("least impedance, Ω", Numbers.Fixed(old.ImpedanceMinOhm, 1), Numbers.Fixed(now.ImpedanceMinOhm, 1)),
            ("parts of one earpiece cost", Numbers.Fixed((double?)old.PartsCost, 2), Numbers.Fixed((double?)now.PartsCost, 2)),
            ("receivers", Numbers.Fixed(old.Receivers, 0), Numbers.Fixed(now.Receivers, 0)),
        })
        {
            yield return $"  {name,-32}{one,10}{other,10}";
        }

        yield return "";
        yield return $"The response is {Numbers.Fixed(Math.Abs(response.LevelDb), 1)} dB {(response.LevelDb < 0 ? "lower" : "higher")} in the level band; beyond that it differs by "
            + $"{Numbers.Fixed(response.RmsDb, 2)} dB RMS, at most {Signed(response.MaxDb)} dB at {Numbers.Part(Math.Round(response.MaxAtHz))} Hz. By octaves, mean (largest), dB:";
        foreach (OctaveDifference[] row in response.Octaves.Chunk(4))
        {
            yield return string.Concat(row.Select(octave => $"{Numbers.Part(Nominal(octave.Hz)) + " Hz",10}{Signed(octave.MeanDb),5} ({Signed(octave.MaxDb)})".PadRight(24))).TrimEnd();
        }

        yield return "";
        yield return changes.Parts.Count == 0 ? "One earpiece of the best build needs the same parts as before." : "One earpiece of the best build needs, compared with before:";
        foreach (PartDifference part in changes.Parts)
        {
            decimal more = part.New - part.Old;
            yield return Numbers.Invariant($"  {(more > 0 ? "+" : "")}{more:0.##}{(part.Unit == "mm" ? " mm" : "")} {part.Part}");
        }

        yield return "";
        yield return $"Shared with {shared.With}: {(shared.Ways.Count == 0 ? "no way part for part" : $"the way{(shared.Ways.Count == 1 ? "" : "s")} {string.Join(" and ", shared.Ways)} part for part")}"
            + Numbers.Invariant($"; {shared.Pieces} of {shared.OfPieces} pieces.");
    }

    /// <summary>Part numbers stay as they are written.</summary>
    private static string Sentence(string words) =>
        (words.Split(' ')[0].All(char.IsAsciiLetterLower) ? char.ToUpperInvariant(words[0]) + words[1..] : words) + ".";

    private static string Plural(int count, string what) => Numbers.Invariant($"{count} {what}{(count == 1 ? "" : "s")}");

    private static string Signed(double db) => Math.Abs(db) < 0.05 ? "0.0" : (db < 0 ? "" : "+") + Numbers.Fixed(db, 1);

    /// <summary>The nominal frequency of an octave (IEC 61260-1).</summary>
    private static double Nominal(double hz) => hz < 20 ? 16 : hz < 40 ? 31.5 : hz < 80 ? 63 : Math.Round(hz);

    /// <summary>Lines that follow the first stand under its text.</summary>
    private static IEnumerable<string> Hang(string line, int width)
    {
        int lead = line.Length - line.TrimStart().Length;
        int hang = line.AsSpan(lead).StartsWith("- ") ? lead + 2 : lead is > 0 and < 11 ? 11 : lead;
        string first = "";
        foreach (string word in line[lead..].Split(' '))
        {
            string longer = first.Length == 0 ? new string(' ', lead) + word : $"{first} {word}";
            if (longer.Length > width && first.Length > 0)
            {
                yield return first.TrimEnd();
                longer = new string(' ', hang) + word;
            }

            first = longer;
        }

        yield return first;
    }
}
