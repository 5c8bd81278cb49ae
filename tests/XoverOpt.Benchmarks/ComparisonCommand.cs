using System.Globalization;
using XoverOpt.Search;

namespace XoverOpt.Benchmarks;

/// <summary>
/// <c>compare</c>: this project's engine against general-purpose optimisers on the same cost, at equal time and at equal evaluations, one
/// thread each. Every run leaves a file in the folder and is not run again while its settings stay, so a long comparison can be made in
/// parts and its tables printed at any time. After a change of the program take another folder: files do not know of it.
/// <code>bash tests/XoverOpt.Benchmarks/compare.sh compare jobs/quick.json --folder out/compare --seconds 30 --evaluations 100000 --seeds 10</code>
/// </summary>
internal static class ComparisonCommand
{
    private const string Ours = "xoveropt";
    /// <summary>The grid builds are ranked by.</summary>
    public const int Density = 24;

    private const long LayoutEvaluations = 60_000;

    /// <summary>Runs what is missing and prints the tables.</summary>
    public static int Run(string[] arguments)
    {
        var options = new ComparisonOptions(
            arguments, "--folder", "--seconds", "--evaluations", "--seeds", "--only", "--on", "--values", "--layout", "--worker", "--python", "--scripts", "--run");
        string folder = options.Text("--folder", "");
        if (folder.Length == 0)
        {
            throw new ArgumentException("--folder DIR says where the results are kept");
        }

        Directory.CreateDirectory(folder);
        Console.WriteLine(ComparisonTable.Where("compare.sh compare " + string.Join(' ', arguments)));
        var plan = new Plan(options, folder);
        if (options.Words("--run", "yes", "no").Contains("yes"))
        {
            plan.Measure();
        }

        plan.Print();
        return 0;
    }

    private sealed class Plan
    {
        private readonly Problem _problem;
        private readonly LayoutSpace _space;
        private readonly ComparisonOptions _options;
        private readonly string _folder;
        private readonly double _seconds;
        private readonly double _evaluations;
        private readonly int _seeds;
        private readonly long _place;
        private readonly string[] _only;
        private readonly IReadOnlyList<string> _on;
        private readonly IReadOnlyList<string> _values;

        public Plan(ComparisonOptions options, string folder)
        {
            _options = options;
            _folder = folder;
            _problem = options.Problem;
            _space = new(_problem);
            _seconds = options.Number("--seconds", 30);
            _evaluations = options.Number("--evaluations", 100_000);
            _seeds = (int)options.Number("--seeds", 10);
            _only = [.. options.Words("--only", [Ours, .. ComparisonOutside.Methods])];
            _on = options.Words("--on", "job", "layout");
            _values = options.Words("--values", "ideal", "real");
            _place = Place();
        }

        /// <summary>Every run that has no file yet, seed by seed, so that a part of the whole already compares everything.</summary>
        public void Measure()
        {
            double weight = Weight();
            var ours = new ComparisonOurs(_problem, weight);
            for (int seed = 1; seed <= _seeds; seed++)
            {
                foreach (string on in _on)
                {
                    foreach (string method in _only)
                    {
                        foreach (string values in _values)
                        {
                            Run(ours, on, values, method, seed);
                        }
                    }
                }
            }
        }

        /// <summary>The tables of what is there.</summary>
        public void Print()
        {
            foreach (string on in _on)
            {
                foreach (string values in _values)
                {
                    string what = (on == "job" ? "Whole job" : $"Layout {_place}") + (values == "ideal" ? ", ideal values" : ", values that can be bought");
                    Show($"{what}, {_seconds:0.###} s", on, values, Ours, trace => trace.AfterSeconds(_seconds), Within("s", trace => trace.Seconds));
                    Show(
                        $"{what}, {_evaluations:0} evaluations", on, values, on == "job" ? Ours + "-evaluations" : Ours,
                        trace => trace.AfterEvaluations(_evaluations), Within("evaluations", trace => trace.Evaluations));
                }
            }
        }

        private void Run(ComparisonOurs ours, string on, string values, string method, int seed)
        {
            // Without choices CMA-ES with margin is CMA-ES.
            if (File.Exists(FileOf(on, values, method, seed)) || (on == "layout" && method == "cmaes-margin"))
            {
                return;
            }

            Console.Error.WriteLine($"{on} {values} {method} seed {seed}");
            if (method != Ours)
            {
                Save(on, values, method, seed, Outside(on, values).Run(method, (ulong)seed, _seconds, _evaluations, values == "ideal" ? Snap(on) : null));
            }
            else if (on == "layout")
            {
                Save(on, values, method, seed, ours.Layout(_space.At(_place), values == "real", (ulong)seed, _seconds, _evaluations));
            }
            else
            {
                // One run gives both costs.
                Save(on, method, seed, ours.Job((ulong)seed, _seconds, double.PositiveInfinity));
                Save(on, method + "-evaluations", seed, ours.Job((ulong)seed, double.PositiveInfinity, _evaluations));
            }
        }

        private void Save(string on, string method, int seed, (ComparisonTrace Ideal, ComparisonTrace Real) traces)
        {
            Save(on, "ideal", method, seed, traces.Ideal);
            Save(on, "real", method, seed, traces.Real);
        }

        private void Save(string on, string values, string method, int seed, ComparisonTrace trace)
        {
            // Written aside first: a run that is broken off leaves no half a file.
            string path = FileOf(on, values, method, seed);
            File.WriteAllLines(path + ".part", trace.Lines($"{on} {values} {method} seed {seed}"));
            File.Move(path + ".part", path, overwrite: true);
        }

        private string FileOf(string on, string values, string method, int seed)
        {
            string settings = string.Create(CultureInfo.InvariantCulture, $"{_problem.JobHash[..8]}-{_problem.InventoryHash[..8]}-{_seconds}s-{_evaluations}e");
            string where = on == "job" ? "job" : string.Create(CultureInfo.InvariantCulture, $"layout{_place}");
            return Path.Combine(_folder, $"{settings}-{where}-{values}-{method}-{seed}.csv");
        }

        private void Show(
            string title, string on, string values, string ours, Func<ComparisonTrace, double> cost, Func<ComparisonTrace[], string> note)
        {
            var rows = new List<(string, double[], string)>();
            foreach (string method in _only.Select(name => name == Ours ? ours : name))
            {
                ComparisonTrace[] traces = [.. Enumerable.Range(1, _seeds).Select(seed => FileOf(on, values, method, seed))
                    .Where(File.Exists).Select(path => ComparisonTrace.Parse(File.ReadLines(path)))];
                if (traces.Length > 0)
                {
                    rows.Add((method, [.. traces.Select(cost)], note(traces)));
                }
            }

            foreach (string line in rows.Count == 0 ? [] : ComparisonTable.Lines(title, rows, ours, "used at the end; ideal point at nearest real values"))
            {
                Console.WriteLine(line);
            }
        }

        private static Func<ComparisonTrace[], string> Within(string unit, Func<ComparisonTrace, double> used) => traces =>
        {
            double[] snapped = [.. traces.Select(trace => trace.Snapped).Where(double.IsFinite)];
            string nearest = snapped.Length == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $"; {ComparisonTable.Median(snapped):0.00}");
            return string.Create(CultureInfo.InvariantCulture, $"{ComparisonTable.Median([.. traces.Select(used)]):0.#} {unit}{nearest}");
        };

        private ComparisonOutside Outside(string on, string values)
        {
            string worker = _options.Text("--worker", "src/XoverOpt.Worker/bin/Release/net10.0/XoverOpt.Worker.dll");
            string[] layout = on == "job" ? [] : ["--layout", _place.ToString(CultureInfo.InvariantCulture)];
            string[] real = values == "real" ? ["--real"] : [];
            return new(
                _options.Text("--python", "/usr/bin/python3"),
                _options.Text("--scripts", "tests/XoverOpt.Benchmarks/outside"),
                ["dotnet", worker, "cost", _options.JobPath, "--grid", Density.ToString(CultureInfo.InvariantCulture), .. layout, .. real]);
        }

        private Func<double[], double> Snap(string on)
        {
            var real = new PointCost(new ProblemTables(_problem, Density), _space, real: true);
            if (on == "layout")
            {
                return point => real.At(_space.At(_place), point);
            }

            var job = new JobPoint(_problem, _space);
            return point =>
            {
                (Layout layout, double[] unit) = job.Decode(point);
                return real.At(layout, unit);
            };
        }

        /// <summary>What a cost with derivatives takes in costs without, the most of the three grids; and what a protocol line takes.</summary>
        private double Weight()
        {
            Layout layout = _space.At(_place);
            double weight = 0;
            foreach (int density in new[] { 6, 12, 24 })
            {
                var tables = new ProblemTables(_problem, density);
                var workspace = new CostWorkspace(tables);
                var equations = new NormalEquations();
                var candidate = new Candidate(tables, _space, layout);
                double[] times = ComparisonClock.Microseconds(
                    () => CostFunction.Evaluate(candidate, workspace, null), () => CostFunction.Evaluate(candidate, workspace, equations));
                (double value, double both) = (times[0], times[1]);
                weight = Math.Max(weight, both / value);
                Say($"{tables.Grid.Count} frequencies, {candidate.Ranges.Length} values: cost {value:0.0} µs, with derivatives {both:0.0} µs, {both / value:0.00} ×");
            }

            Say($"A descent step of ours counts as {weight:0.00} evaluations.");
            var point = new PointCost(new ProblemTables(_problem, Density), _space, real: false);
            double[] middle = [.. Enumerable.Repeat(0.5, JobPoint.ValuesOf(_problem, _space, layout).Count)];
            double inside = ComparisonClock.Microseconds(() => point.At(layout, middle));
            IReadOnlyList<(int Lines, double Microseconds)> outside = Outside("layout", "ideal").LineTimes();
            inside = Math.Min(inside, ComparisonClock.Microseconds(() => point.At(layout, middle)));
            foreach ((int lines, double microseconds) in outside)
            {
                Say($"Line protocol, {lines} lines at a time: {microseconds:0.0} µs a line, of which {inside:0.0} µs are the cost itself: {microseconds - inside:0.0} µs overhead.");
            }

            return weight;
        }

        /// <summary>The layout compared on: as told, or the one that a short search likes best, remembered in the folder.</summary>
        private long Place()
        {
            string told = _options.Text("--layout", ""), kept = Path.Combine(_folder, $"layout-{_problem.JobHash[..8]}-{_problem.InventoryHash[..8]}.txt");
            if (told.Length == 0 && !File.Exists(kept))
            {
                File.WriteAllText(kept, new ComparisonOurs(_problem, 1).BestLayout(LayoutEvaluations).ToString(CultureInfo.InvariantCulture));
            }

            string text = told.Length > 0 ? told : File.ReadAllText(kept);
            return long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out long place) && place < _space.Total
                ? place
                : throw new ArgumentException(string.Create(CultureInfo.InvariantCulture, $"--layout {text}: expected 0 to {_space.Total - 1:0}"));
        }

        private static void Say(FormattableString line) => Console.WriteLine(line.ToString(CultureInfo.InvariantCulture));
    }
}
