using System.Diagnostics;
using System.Globalization;

namespace XoverOpt.Benchmarks;

/// <summary>Optimisers from outside, run by Python scripts that drive the <c>cost</c> command.</summary>
/// <param name="python">The Python that has them.</param>
/// <param name="scripts">Folder of the scripts.</param>
/// <param name="cost">The cost command with its arguments, word by word.</param>
internal sealed class ComparisonOutside(string python, string scripts, IReadOnlyList<string> cost)
{
    /// <summary>Names by which the script knows them.</summary>
    public static readonly string[] Methods =
    [
        "scipy-de", "scipy-de-batch", "scipy-da", "nlopt-crs2", "nlopt-esch", "nlopt-isres", "nlopt-mlsl-lbfgs", "cmaes-ipop", "cmaes-margin", "random",
    ];

    /// <summary>Runs one until both the seconds and the evaluations are used, or four times the seconds.</summary>
    /// <param name="method">Which.</param>
    /// <param name="seed">Its seed.</param>
    /// <param name="seconds">Least seconds.</param>
    /// <param name="evaluations">Least evaluations.</param>
    /// <param name="snap">The cost of a point with its values moved to the nearest that can be bought; null where that is what it saw.</param>
    public ComparisonTrace Run(string method, ulong seed, double seconds, double evaluations, Func<double[], double>? snap)
    {
        string[] lines = Python(
            "optimise.py",
            ["--method", method, "--seed", Word(seed), "--seconds", Word(seconds), "--evaluations", Word(evaluations), "--latest", Word(4 * seconds), "--", .. cost]);
        ComparisonTrace trace = ComparisonTrace.Parse(lines);
        string point = lines.Last(line => line.StartsWith("# point ", StringComparison.Ordinal));
        double[] best = [.. point.Split(' ').Skip(2).Select(word => double.Parse(word, CultureInfo.InvariantCulture))];
        return trace with { Snapped = snap?.Invoke(best) ?? double.NaN };
    }

    /// <summary>µs a line of the protocol, the cost included, by lines sent together.</summary>
    public IReadOnlyList<(int Lines, double Microseconds)> LineTimes() =>
        [.. Python("optimise.py", ["--method", "overhead", "--", .. cost]).Skip(1).Select(line => line.Split(','))
            .Select(cells => (int.Parse(cells[0], CultureInfo.InvariantCulture), double.Parse(cells[1], CultureInfo.InvariantCulture)))];

    /// <summary>Runs a script and returns the lines it prints.</summary>
    /// <exception cref="InvalidOperationException">It ended with an error, which has been shown.</exception>
    public string[] Python(string script, IReadOnlyList<string> arguments)
    {
        var start = new ProcessStartInfo(python) { RedirectStandardOutput = true };
        start.Environment["OMP_NUM_THREADS"] = "1";
        start.Environment["OPENBLAS_NUM_THREADS"] = "1";
        foreach (string argument in arguments.Prepend(Path.Combine(scripts, script)))
        {
            start.ArgumentList.Add(argument);
        }

        using Process process = Process.Start(start)!;
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return process.ExitCode == 0
            ? output.Split('\n', StringSplitOptions.RemoveEmptyEntries)
            : throw new InvalidOperationException($"{script} {string.Join(' ', arguments)} ended with code {process.ExitCode}");
    }

    private static string Word(IConvertible value) => value.ToString(CultureInfo.InvariantCulture);
}
