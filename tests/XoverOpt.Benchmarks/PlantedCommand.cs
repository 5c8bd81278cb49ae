using System.Globalization;
using XoverOpt.Search;

namespace XoverOpt.Benchmarks;

/// <summary>
/// Plants random builds of a job, one a seed, and has each searched for within a time: a table with every miss in it, and how many were
/// found. Found means a feasible build that can be bought, judged like every result, costs at most 1 % more than the planted one, or at
/// most 1e-4 more where that is larger (an RMS error of a hundredth of half the tolerance).
/// <code>dotnet run -c Release --project tests/XoverOpt.Benchmarks -- planted --job jobs/quick.json --seeds 20 --seconds 60 --threads 2</code>
/// </summary>
internal static class PlantedCommand
{
    private const double Relative = 0.01;
    private const double Absolute = 1e-4;
    private const int Starts = 24;

    /// <summary>Runs it; 0 when at least 19 of 20 were found.</summary>
    public static int Run(string[] arguments)
    {
        var options = new ReachOptions(arguments, "--job", "--kind", "--seeds", "--from", "--seconds", "--threads", "--first");
        Problem problem = ReachOptions.Job(options.Text("--job") ?? "jobs/quick.json").Problem;
        int seeds = options.Whole("--seeds", 20), from = options.Whole("--from", 1), threads = options.Whole("--threads", 2);
        double seconds = options.Number("--seconds", 60), first = options.Number("--first", 0.25);
        PlantedKind[] kinds = options.Text("--kind") switch
        {
            null => Enum.GetValues<PlantedKind>(),
            { } word when Enum.TryParse(word, true, out PlantedKind kind) && Enum.IsDefined(kind) => [kind],
            { } word => throw new ArgumentException($"--kind {word}: expected all, magnitude or legal; left out, one after another."),
        };

        double rate = ReachSearch.Rate(problem, threads);
        bool good = true;
        foreach (PlantedKind kind in kinds)
        {
            Line($"{problem.Name}, {kind.ToString().ToLowerInvariant()}: {seconds:0.#} s a seed, {threads} threads, about {rate:0} evaluations/s");
            Line($"{"seed",4}  {"draws",7}  {"planted",10}  {"found",10}  {"after s",7}  {"used s",6}  {"evaluations",11}  {"searches",8}  {"RMS dB",7}  {"same",-9}  verdict");
            int found = 0, planted = 0;
            for (int seed = from; seed < from + seeds; seed++)
            {
                if (PlantedBuild.Plant(problem, (ulong)seed, kind) is not { } plant)
                {
                    Line($"{seed,4}  no build that keeps the limits was drawn");
                    continue;
                }

                planted++;
                found += Hunt(plant, seed, TimeSpan.FromSeconds(seconds), first, threads, ref rate) ? 1 : 0;
            }

            Line($"{found} of {planted} found");
            good &= planted > 0 && found >= 0.95 * planted;
        }

        return good ? 0 : 2;
    }

    private static bool Hunt(PlantedBuild plant, int seed, TimeSpan time, double first, int threads, ref double rate)
    {
        double cost = plant.Build.Cost.Total, bound = cost + Math.Max(Relative * cost, Absolute);
        var search = new ReachSearch(plant.Problem, threads, rate) { Enough = build => build.Feasible && build.Cost.Total <= bound };
        search.Run(time, (ulong)seed, first, 2);
        rate = search.MeasuredRate;
        if (search.Best is not { } best)
        {
            Line($"{seed,4}  {plant.Draws,7}  {cost,10:0.00000}  {"-",10}  {"-",7}  {search.Used.TotalSeconds,6:0.0}  {search.Evaluations,11}  {search.Searches,8}  MISSED: no build");
            return false;
        }

        bool found = search.Enough(best);
        string verdict = found ? "found" : !best.Feasible ? "MISSED: infeasible" : string.Create(CultureInfo.InvariantCulture, $"MISSED by {best.Cost.Total - cost:0.00000}");
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"{seed,4}  {plant.Draws,7}  {cost,10:0.00000}  {best.Cost.Total,10:0.00000}  {search.BestAfter.TotalSeconds,7:0.0}  {search.Used.TotalSeconds,6:0.0}  {search.Evaluations,11}  "
            + $"{search.Searches,8}  {best.Figures.MagnitudeRmsDb,7:0.0000}  {plant.Likeness(best.Earpiece),-9}  {verdict}"));
        if (!found)
        {
            Line($"      planted  {plant.Build.Key}");
            Line($"      best     {best.Key}");
            (double ideal, double real, double own) = plant.GivenLayout(Starts, (ulong)seed);
            Line($"      its layout given: ideal values reach {ideal:0.00000} from {Starts} starts, {real:0.00000} made real; {own:0.00000} made real from its own values");
        }

        return found;
    }

    private static void Line(FormattableString text) => Console.WriteLine(text.ToString(CultureInfo.InvariantCulture));
}
