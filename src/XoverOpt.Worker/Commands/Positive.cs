using System.CommandLine.Parsing;
using System.Globalization;

namespace XoverOpt.Worker.Commands;

/// <summary>The rule for counts on the command line.</summary>
internal static class Positive
{
    /// <summary>Adds an error if the value is below 1.</summary>
    public static void Require(OptionResult result, string name, long? value)
    {
        if (value < 1)
        {
            result.AddError(string.Create(CultureInfo.InvariantCulture, $"{name}: found {value}; allowed: 1 or more."));
        }
    }
}
