using System.Globalization;
using XoverOpt.Workshop;

namespace XoverOpt.Benchmarks;

/// <summary>The arguments of the timed searches: words, and options with a value each.</summary>
internal sealed class ReachOptions
{
    private readonly Dictionary<string, string> _values = [];

    /// <param name="arguments">As given.</param>
    /// <param name="known">Names of the options there are, such as "--seconds".</param>
    /// <exception cref="ArgumentException">An option that is not known or has no value.</exception>
    public ReachOptions(string[] arguments, params string[] known)
    {
        List<string> words = [];
        for (int i = 0; i < arguments.Length; i++)
        {
            if (!arguments[i].StartsWith("--", StringComparison.Ordinal))
            {
                words.Add(arguments[i]);
            }
            else if (!known.Contains(arguments[i]) || i + 1 == arguments.Length)
            {
                throw new ArgumentException($"{arguments[i]}: expected one of {string.Join(", ", known)}, each with a value.");
            }
            else
            {
                _values[arguments[i]] = arguments[++i];
            }
        }

        Words = words;
    }

    /// <summary>What is not an option.</summary>
    public IReadOnlyList<string> Words { get; }

    /// <summary>The value of an option; null where not given.</summary>
    public string? Text(string name) => _values.GetValueOrDefault(name);

    /// <summary>A number above zero.</summary>
    /// <exception cref="ArgumentException">Not a number above zero.</exception>
    public double Number(string name, double usual) =>
        Text(name) is not { } text ? usual
        : double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) && value > 0 && double.IsFinite(value) ? value
        : throw new ArgumentException($"{name} {text}: expected a number above zero.");

    /// <summary>A whole number above zero.</summary>
    /// <exception cref="ArgumentException">Not a whole number above zero.</exception>
    public int Whole(string name, int usual)
    {
        double value = Number(name, usual);
        return value == Math.Floor(value) && value <= int.MaxValue ? (int)value : throw new ArgumentException($"{name} {value}: expected a whole number.");
    }

    /// <summary>Reads a job.</summary>
    /// <exception cref="ArgumentException">It has faults; the message lists them.</exception>
    public static JobDocument Job(string path)
    {
        Reading<JobDocument> reading = JobFile.Read(path);
        return reading.IsGood ? reading.Value! : throw new ArgumentException(string.Join('\n', reading.Faults.Select(fault => fault.Message)));
    }

    /// <summary>Runs a command; wrong input gets its message and exit code 1.</summary>
    public static int Guard(Func<int> command)
    {
        try
        {
            return command();
        }
        catch (Exception fault) when (fault is ArgumentException or IOException or UnauthorizedAccessException)
        {
            Console.Error.WriteLine(fault.Message);
            return 1;
        }
    }
}
