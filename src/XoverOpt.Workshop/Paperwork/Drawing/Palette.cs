namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// How curves are told apart: by a colour that colour-blind people can tell (M. Okabe and K. Ito, Color Universal Design, 2008; their yellow is left
/// out, which is lost on white) and always by a dash pattern as well.
/// </summary>
internal static class Palette
{
    /// <summary>Whatever the text around has: black on paper, light on a dark page.</summary>
    public const string Ink = "currentColor";

    /// <summary>Okabe and Ito's vermillion, for limits.</summary>
    public const string Limit = "#D55E00";

    private static readonly string[] Colours = ["#0072B2", "#E69F00", "#009E73", "#CC79A7", "#56B4E9", "#D55E00"];

    private static readonly string?[] Dashes = [null, "7 3", "2 3", "9 3 2 3", "5 2", "12 4"];

    /// <summary>How many colours there are; a curve so many places further on has the same colour and other dashes.</summary>
    public const int Count = 6;

    /// <summary>The colour of a curve.</summary>
    public static string Colour(int index) => Colours[index % Colours.Length];

    /// <summary>Its dashes; null for none. Colour and dashes together repeat after thirty.</summary>
    public static string? Dash(int index) => Dashes[(index + (index / Colours.Length)) % Dashes.Length];
}
