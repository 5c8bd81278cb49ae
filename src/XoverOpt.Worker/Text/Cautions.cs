namespace XoverOpt.Worker.Text;

/// <summary>What must be said wherever sound levels or earpieces for a wearer are shown.</summary>
public static class Cautions
{
    /// <summary>On loud sound.</summary>
    public const string Levels =
        "Loud sound injures hearing for good, and an earpiece can reach injurious levels from a small signal: start low, limit level and time, " +
        "and keep to the exposure rules that hold where you work.";

    /// <summary>On ear impressions.</summary>
    public const string Impressions =
        "Taking an ear impression can hurt the ear: leave it to someone trained, and licensed where the law asks for it.";

    /// <summary>On what the numbers are.</summary>
    public const string Model =
        "Figures come from a linear model with one average ear that stands for real ears from 100 Hz to 10 kHz only: measure what you build.";

    /// <summary>All of it in one text.</summary>
    public const string All = Levels + " " + Impressions + " " + Model;
}
