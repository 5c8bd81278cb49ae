using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using XoverOpt.Worker.Api;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Commands;

/// <summary>A number that a command takes as an option and the API as a query parameter of the same name and range.</summary>
/// <param name="Name">As the API calls it, such as "packOhm"; the option is --pack-ohm.</param>
/// <param name="About">What it is and what holds without it.</param>
/// <param name="Range">What is allowed.</param>
/// <param name="Many">Whether there may be several.</param>
internal sealed record NumberSetting(string Name, string About, NumberRange Range, bool Many = false)
{
    /// <summary>The option.</summary>
    public Option<double[]> ToOption()
    {
        Option<double[]> option = new("--" + JsonNamingPolicy.KebabCaseLower.ConvertName(Name))
        {
            Description = About,
            HelpName = "N",
            Arity = ArgumentArity.OneOrMore,
            AllowMultipleArgumentsPerToken = Many,
        };
        option.Allow(values => values is null || ((Many || values.Length <= 1) && values.All(Range.Holds)), Range.ToString());
        return option;
    }

    /// <summary>The values of a query; what is wrong with them is added to <paramref name="faults"/>.</summary>
    public double[]? Read(IQueryCollection query, List<FaultView> faults)
    {
        string[] texts = [.. query[Name].OfType<string>().SelectMany(text => Many ? text.Split(',') : [text])];
        if (texts.Length > 1 && !Many)
        {
            faults.Add(new(Name, $"{texts.Length} values", "one value"));
            return null;
        }

        var values = new List<double>();
        foreach (string text in texts)
        {
            if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) && Range.Holds(value))
            {
                values.Add(value);
            }
            else
            {
                faults.Add(new(Name, text, Range.ToString()));
            }
        }

        return values.Count > 0 ? [.. values] : null;
    }
}

/// <summary>The numbers that were given.</summary>
/// <param name="read">What was given for a setting; null or nothing where it was left out.</param>
internal sealed class GivenNumbers(Func<NumberSetting, double[]?> read)
{
    /// <summary>One number, or the usual one.</summary>
    public double One(NumberSetting setting, double usual) => Optional(setting) ?? usual;

    /// <summary>One number; null where it was left out.</summary>
    public double? Optional(NumberSetting setting) => read(setting) is { Length: > 0 } given ? given[0] : null;

    /// <summary>The numbers, or the usual ones.</summary>
    public IReadOnlyList<double> All(NumberSetting setting, IReadOnlyList<double> usual) => read(setting) is { Length: > 0 } given ? given : usual;
}
