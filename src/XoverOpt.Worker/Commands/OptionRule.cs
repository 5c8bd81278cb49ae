using System.CommandLine;

namespace XoverOpt.Worker.Commands;

/// <summary>Rules for option values, told like any other fault: what was found, what is allowed.</summary>
internal static class OptionRule
{
    /// <summary>Adds a rule to an option.</summary>
    public static void Allow<T>(this Option<T> option, Func<T?, bool> allowed, string words) => option.Validators.Add(result =>
    {
        try
        {
            if (!allowed(result.GetValue(option)))
            {
                result.AddError($"{option.Name}: found {string.Join(' ', result.Tokens)}; allowed: {words}.");
            }
        }
        catch (InvalidOperationException)
        {
            // Not a value of this kind at all: the parser says so itself.
        }
    });
}
