using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>Words and scales that several plots share.</summary>
internal static class PlotWords
{
    /// <summary>What the model of the ear is good for.</summary>
    public const string Ear = "The ear simulator stands for an ear from 100 Hz to 10 kHz and is only a coupler outside. Loud sound injures hearing.";

    private const double DeepestDb = 60;

    /// <summary>Quantity of a level axis.</summary>
    public static string Level(Problem problem) => FormattableString.Invariant(
        $"eardrum level, dB re 20 µPa, at {Units.ToMillivolt(problem.Source.Voltage):0.###} mV behind {problem.Source.Resistance:0.###} Ω");

    /// <summary>A scale for levels: from the highest down, 60 dB at most.</summary>
    public static PlotScale LevelScale(IReadOnlyList<IReadOnlyList<double>> lists)
    {
        double[] all = [.. lists.SelectMany(list => list).Where(double.IsFinite)];
        if (all.Length == 0)
        {
            return PlotScale.Around(0, 100);
        }

        double high = all.Max() + 2;
        return PlotScale.Around(Math.Max(all.Min() - 2, high - DeepestDb), high);
    }
}
