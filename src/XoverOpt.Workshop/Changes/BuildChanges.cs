using System.Globalization;
using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Changes;

/// <summary>
/// Finds the builds of one run among those of another and says of each what became of it. A build is found again part for part, or else as
/// another tuning of the same receivers, wiring and networks. Whatever is in one list only is judged under the other job and drawer, so
/// that it can be said why it is not there and where it would stand.
/// </summary>
internal sealed class BuildChanges
{
    private readonly KeptRun _old;
    private readonly KeptRun _new;
    private readonly Side _before;
    private readonly Side _after;
    private readonly IReadOnlyList<JobChange> _job;
    private readonly IReadOnlyList<DrawerChange> _drawer;

    public BuildChanges(KeptRun old, KeptRun now, IReadOnlyList<JobChange> job, IReadOnlyList<DrawerChange> drawer)
    {
        (_old, _new, _job, _drawer) = (old, now, job, drawer);
        _before = new(old, later: false);
        _after = new(now, later: true);
    }

    /// <summary>The builds of the earlier run as this program judges them under its job.</summary>
    public IReadOnlyList<RankedBuild> Before => _before.Builds;

    /// <summary>Those of the later run.</summary>
    public IReadOnlyList<RankedBuild> After => _after.Builds;

    /// <summary>Why a stored cost is not what this program reckons, in words; null where they agree.</summary>
    public string? Program
    {
        get
        {
            foreach ((KeptRun run, Side side) in new[] { (_old, _before), (_new, _after) })
            {
                // Files bear every digit, so that the same program reckons the same; the smallest change of a formula is larger than this.
                int at = Enumerable.Range(0, run.Builds.Count).FirstOrDefault(
                    i => run.Builds[i].Cost is { } cost && Math.Abs(cost.Total - side.Builds[i].Cost.Total) > 1e-9 * Math.Abs(cost.Total), -1);
                if (at >= 0)
                {
                    return $"This version of the program reckons build {at + 1} of {run.Label} at a cost of {Text(side.Builds[at].Cost.Total)}; the version that made it ({run.ProgramVersion ?? "not stated"}) said {Text(run.Builds[at].Cost!.Value.Total)}.";
                }
            }

            return null;
        }
    }

    /// <summary>What became of every build: those of the earlier run in their order, then the new ones.</summary>
    public IReadOnlyList<BuildChange> All()
    {
        (int Old, int New)[] pairs = Pairs();
        List<BuildChange> changes = [];
        for (int i = 0; i < Before.Count; i++)
        {
            int j = pairs.Where(pair => pair.Old == i).Select(pair => pair.New).DefaultIfEmpty(-1).First();
            changes.Add(j >= 0 ? Moved(i, j, pairs) : Died(i));
        }

        changes.AddRange(Enumerable.Range(0, After.Count).Except(pairs.Select(pair => pair.New)).Select(NewOne));
        return changes;
    }

    private (int Old, int New)[] Pairs()
    {
        List<(int Old, int New)> pairs = [];
        foreach (Func<Earpiece, string> same in new Func<Earpiece, string>[] { BuildKey.Of, BuildWords.Scheme })
        {
            for (int i = 0; i < Before.Count; i++)
            {
                if (pairs.Exists(pair => pair.Old == i))
                {
                    continue;
                }

                string wanted = same(Before[i].Earpiece);
                int j = Enumerable.Range(0, After.Count).FirstOrDefault(k => pairs.TrueForAll(pair => pair.New != k) && same(After[k].Earpiece) == wanted, -1);
                if (j >= 0)
                {
                    pairs.Add((i, j));
                }
            }
        }

        return [.. pairs];
    }

    private BuildChange Moved(int i, int j, (int Old, int New)[] pairs)
    {
        RankedBuild old = Before[i], now = After[j];
        IReadOnlyList<string> retuned = old.Key == now.Key ? [] : BuildWords.Retuned(old.Earpiece, now.Earpiece);
        List<Reason> why = [.. Prices(old), .. Parameters(old)];
        if (Math.Abs(now.Cost.Total - old.Cost.Total) > 1e-9 * Math.Abs(old.Cost.Total) && Areas() is { Length: > 0 } areas)
        {
            why.Add(new(ReasonKind.Target, $"its cost is {Text(now.Cost.Total)} instead of {Text(old.Cost.Total)}, since the job's {areas} changed"));
        }

        why.AddRange(NewlyBroken(now, old, "it breaks a limit"));
        int died = Enumerable.Range(0, i).Count(k => pairs.All(pair => pair.Old != k));
        int came = Enumerable.Range(0, j).Count(k => pairs.All(pair => pair.New != k));
        int passed = pairs.Count(pair => pair.Old < i && pair.New > j), passing = pairs.Count(pair => pair.Old > i && pair.New < j);
        if (i != j)
        {
            string[] moves =
            [
                .. died > 0 ? [$"{Count(died, "build")} before it went"] : Array.Empty<string>(),
                .. came > 0 ? [$"{Count(came, "new one")} came in before it"] : Array.Empty<string>(),
                .. passed > 0 ? [$"it passed {Count(passed, "build")}"] : Array.Empty<string>(),
                .. passing > 0 ? [$"{Count(passing, "build")} passed it"] : Array.Empty<string>(),
            ];
            why.Add(new(ReasonKind.Neighbours, string.Join(", ", moves)));
        }

        return new(
            i == j ? BuildFate.Stayed : j < i ? BuildFate.Rose : BuildFate.Fell, i + 1, j + 1, BuildWords.Receivers(now.Earpiece), retuned, why, BuildSide.Of(old), BuildSide.Of(now));
    }

    private BuildChange Died(int i)
    {
        RankedBuild old = Before[i];
        (IReadOnlyList<Reason> why, RankedBuild? now) = _after.Missing(old, this);
        return new(BuildFate.Died, i + 1, null, BuildWords.Receivers(old.Earpiece), [], why, BuildSide.Of(old), now is null ? null : BuildSide.Of(now));
    }

    private BuildChange NewOne(int j)
    {
        RankedBuild now = After[j];
        (IReadOnlyList<Reason> why, RankedBuild? old) = _before.Missing(now, this);
        return new(BuildFate.New, null, j + 1, BuildWords.Receivers(now.Earpiece), [], why, old is null ? null : BuildSide.Of(old), BuildSide.Of(now));
    }

    /// <summary>Prices of its parts that changed.</summary>
    private IEnumerable<Reason> Prices(RankedBuild build) => Of(build, DrawerChangeKind.Price, ReasonKind.Price);

    private IEnumerable<Reason> Parameters(RankedBuild build) => Of(build, DrawerChangeKind.Parameters, ReasonKind.Parameters);

    private IEnumerable<Reason> Of(RankedBuild build, DrawerChangeKind change, ReasonKind reason)
    {
        HashSet<string?> parts = [.. PartsBill.Of(build.Earpiece, _old.Job.Problem).Lines.Concat(PartsBill.Of(build.Earpiece, _new.Job.Problem).Lines).Select(line => line.PartNumber)];
        return _drawer.Where(item => item.Kind == change && parts.Contains(item.Part)).Select(item => new Reason(reason, item.Words, item.Part));
    }

    private string Areas() => string.Join(" and ", _job.Select(change => change.Area).Where(JobChange.CostAreas.Contains).Distinct());

    /// <summary>Limits that a build breaks on one side and not on the other.</summary>
    private static IEnumerable<Reason> NewlyBroken(RankedBuild here, RankedBuild there, string said)
    {
        foreach (string limit in here.BrokenLimits.Where(limit => there.BrokenLimits.All(other => Head(other) != Head(limit))))
        {
            yield return new(ReasonKind.Limits, $"{said}: {limit}");
        }

        static string Head(string limit) => new([.. limit.TakeWhile(letter => !char.IsDigit(letter))]);
    }

    private static string Count(int count, string what) => string.Create(CultureInfo.InvariantCulture, $"{count} {what}{(count == 1 ? "" : "s")}");

    private static string Text(double cost) => cost.ToString("0.0000", CultureInfo.InvariantCulture);

    /// <summary>One of the two runs, and what it says of builds that are not in it.</summary>
    private sealed class Side
    {
        private readonly KeptRun _run;
        private readonly bool _later;
        private readonly Obstacles _obstacles;
        private readonly BuildEvaluation _evaluation;

        public Side(KeptRun run, bool later)
        {
            (_run, _later) = (run, later);
            _obstacles = new(run.Job, later);
            _evaluation = new(run.Job.Problem);
            Builds = [.. run.Builds.Select((build, at) => _evaluation.Judge(build.Earpiece, build.RelaxedCost ?? double.NaN) with { Rank = at + 1 })];
        }

        public IReadOnlyList<RankedBuild> Builds { get; }

        /// <summary>Why a build is not in this run, and how it is judged under it where it could be built.</summary>
        public (IReadOnlyList<Reason> Why, RankedBuild? Here) Missing(RankedBuild build, BuildChanges all)
        {
            IReadOnlyList<Reason> obstacles = _obstacles.Of(build.Earpiece);
            RankedBuild? here = _obstacles.Here(build.Earpiece) is { } earpiece ? _evaluation.Judge(earpiece) : null;
            if (obstacles.Count > 0 || here is null)
            {
                return (obstacles, here);
            }

            Reason[] broken = [.. NewlyBroken(here, build, _later ? "it breaks a limit" : "it broke a limit of the earlier job")];
            if (broken.Length > 0)
            {
                return ([.. broken, .. broken.Any(reason => reason.Words.Contains("parts cost", StringComparison.Ordinal)) ? all.Prices(build) : []], here);
            }

            return ([.. all.Parameters(build), Standing(here, all)], here);
        }

        private Reason Standing(RankedBuild here, BuildChanges all)
        {
            int place = 1 + Builds.Count(other => BuildRanking.Order.Compare(other, here) < 0), keep = _run.Job.Problem.Effort.Keep;
            string cost = $"a cost of {Text(here.Cost.Total)}", last = Text(Builds.Count > 0 ? Builds[^1].Cost.Total : double.NaN);
            bool listed = place <= keep && BuildRanking.Rank([.. Builds, here], keep).Any(build => build.Key == here.Key);
            string still = _later ? "it can still be built" : "it could have been built before";
            if (!listed)
            {
                string areas = all.Areas();
                string since = areas.Length > 0 ? $", under the {(_later ? "new" : "earlier")} {areas}" : "";
                string are = Builds.Count == 1 ? (_later ? "is" : "was") : _later ? "are all" : "were all";
                return new(ReasonKind.Beaten, place > Builds.Count
                    ? $"{still}, but the {Count(Builds.Count, "build")} kept {are} better{(Builds.Count > 1 ? $", the last of them at {last}" : "")}; {(_later ? "it stands" : "it stood")} at {cost}{since}"
                    : $"{still} with {cost}{since}, but finds no place in the list of {Builds.Count}, since others with its receivers stand before it");
            }

            return new(
                ReasonKind.Search,
                _later
                    ? $"{still} with {cost} and would stand at rank {place}; this search did not find it again"
                    : $"{still} with {cost} and would have stood at rank {place}; the earlier search did not find it");
        }
    }
}
