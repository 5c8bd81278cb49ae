using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// A continuous value of a layout on the unit interval. Network parts run on a log scale, lengths on a linear one, dampers on
/// ln(1 + R/R₀), which is log-like above R₀ and still reaches zero: no damper.
/// </summary>
public sealed class ParameterRange
{
    /// <summary>R₀ of the damper scale: 300 cgs acoustic ohm, in Pa·s/m³.</summary>
    private const double DamperKnee = 300e5;
    private readonly double _low;
    private readonly double _span;
    private readonly bool _lossy;
    private readonly double[] _places;

    /// <param name="parameter">Which value.</param>
    /// <param name="choices">The values it may take in the end, rising, SI, at least one.</param>
    public ParameterRange(KernelParameter parameter, IReadOnlyList<StockValue> choices)
    {
        Parameter = parameter;
        Choices = choices;
        _low = Scale(choices[0].Value);
        _span = Scale(choices[^1].Value) - _low;
        _lossy = choices.Any(choice => choice.LossResistance != choices[0].LossResistance);
        _places = [.. choices.Select(choice => Unit(choice.Value))];
    }

    /// <summary>Which value.</summary>
    public KernelParameter Parameter { get; }

    /// <summary>The values it may take in the end, rising.</summary>
    public IReadOnlyList<StockValue> Choices { get; }

    /// <summary>The value at u in [0, 1].</summary>
    public double Value(double u)
    {
        double s = _low + (_span * u);
        return Parameter.Kind switch
        {
            ParameterKind.TubeLength => s,
            ParameterKind.Damper => DamperKnee * (Math.Exp(s) - 1),
            _ => Math.Exp(s),
        };
    }

    /// <summary>∂value/∂u where the value is <paramref name="value"/>.</summary>
    public double Slope(double value) => Parameter.Kind switch
    {
        ParameterKind.TubeLength => _span,
        ParameterKind.Damper => _span * (DamperKnee + value),
        _ => _span * value,
    };

    /// <summary>u of a value; 0 where only one value is allowed.</summary>
    public double Unit(double value) => _span == 0 ? 0 : Math.Clamp((Scale(value) - _low) / _span, 0, 1);

    /// <summary>ESR or DCR at u, Ω, and its slope by u: that of the parts on the list, straight in between.</summary>
    public (double Ohm, double Slope) Loss(double u)
    {
        if (!_lossy)
        {
            return (Choices[0].LossResistance, 0);
        }

        int above = Array.BinarySearch(_places, u);
        above = Math.Clamp(above < 0 ? ~above : above, 1, _places.Length - 1);
        // Two parts may have the same value and unlike losses.
        double between = _places[above] - _places[above - 1], part = between > 0 ? Math.Clamp((u - _places[above - 1]) / between, 0, 1) : 0;
        double low = Choices[above - 1].LossResistance, step = Choices[above].LossResistance - low;
        return (low + (part * step), between > 0 ? step / between : 0);
    }

    /// <summary>Index of the choice nearest to a value on the parameter's scale.</summary>
    public int Nearest(double value)
    {
        double at = Scale(value);
        int low = 0, high = Choices.Count - 1;
        while (high - low > 1)
        {
            int middle = (low + high) / 2;
            (low, high) = Scale(Choices[middle].Value) <= at ? (middle, high) : (low, middle);
        }

        return Math.Abs(Scale(Choices[low].Value) - at) <= Math.Abs(Scale(Choices[high].Value) - at) ? low : high;
    }

    private double Scale(double value) => Parameter.Kind switch
    {
        ParameterKind.TubeLength => value,
        ParameterKind.Damper => Math.Log(1 + (value / DamperKnee)),
        _ => Math.Log(value),
    };
}
