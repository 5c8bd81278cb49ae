using System.Globalization;
using XoverOpt.Search;
using XoverOpt.Workshop;

namespace XoverOpt.Benchmarks;

/// <summary>The command line of the comparison: a job, then options with a value each.</summary>
internal sealed class ComparisonOptions
{
    private readonly Dictionary<string, string> _values = new(StringComparer.Ordinal);

    /// <exception cref="ArgumentException">An option that is not known or has no value, or a job with faults.</exception>
    public ComparisonOptions(string[] arguments, params string[] known)
    {
        string job = "jobs/quick.json";
        for (int i = 0; i < arguments.Length; i++)
        {
            if (!arguments[i].StartsWith("--", StringComparison.Ordinal))
            {
                job = arguments[i];
            }
            else if (!known.Contains(arguments[i]) || i + 1 == arguments.Length)
            {
                throw new ArgumentException($"{arguments[i]}: expected one of {string.Join(", ", known)}, each with a value");
            }
            else
            {
                _values[arguments[i]] = arguments[++i];
            }
        }

        Reading<JobDocument> reading = JobFile.Read(job);
        JobPath = job;
        Problem = reading.IsGood ? reading.Value.Problem : throw new ArgumentException(string.Join('\n', reading.Faults.Select(fault => fault.Message)));
    }

    /// <summary>Runs a subcommand; what is wrong with its arguments is said in a line.</summary>
    /// <returns>Its exit code; 1 for wrong arguments.</returns>
    public static int Guard(Func<int> command)
    {
        try
        {
            return command();
        }
        catch (ArgumentException wrong)
        {
            Console.Error.WriteLine(wrong.Message);
            return 1;
        }
    }

    /// <summary>The job file.</summary>
    public string JobPath { get; }

    /// <summary>What it asks.</summary>
    public Problem Problem { get; }

    /// <summary>The value of an option, or the usual one.</summary>
    public string Text(string name, string usual) => _values.GetValueOrDefault(name, usual);

    /// <summary>A number above zero.</summary>
    /// <exception cref="ArgumentException">It is not.</exception>
    public double Number(string name, double usual) => !_values.TryGetValue(name, out string? text) ? usual
        : double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) && value > 0 && double.IsFinite(value) ? value
        : throw new ArgumentException($"{name} {text}: expected a number above zero");

    /// <summary>One or more of the words allowed, apart by commas.</summary>
    /// <exception cref="ArgumentException">A word that is not among them.</exception>
    public IReadOnlyList<string> Words(string name, params string[] allowed)
    {
        string[] words = Text(name, string.Join(',', allowed)).Split(',');
        return words.All(allowed.Contains) ? words : throw new ArgumentException($"{name} {Text(name, "")}: expected some of {string.Join(',', allowed)}");
    }
}
