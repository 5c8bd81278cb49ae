using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>What leads and microphone see of the motor, whatever its diaphragm's area: T/S, m/S², r/S² and the compliance of suspension and rear volume together.</summary>
internal static class FitCombinations
{
    /// <summary>The combinations with their errors.</summary>
    public static IEnumerable<FitCombination> Of(Receiver receiver, ReceiverFitProblem problem, FitDirections directions)
    {
        double S = receiver.DiaphragmArea, spring = 1 / (receiver.Compliance * S * S), air = problem.Air.BulkModulus / receiver.RearVolume, share = spring / (spring + air);
        yield return Make("force factor/area", "N/(A·m²)", receiver.ForceFactor / S, (ReceiverParameter.ForceFactor, 1), (ReceiverParameter.DiaphragmArea, -1));
        yield return Make("mass/area²", "kg/m⁴", receiver.Mass / (S * S), (ReceiverParameter.Mass, 1), (ReceiverParameter.DiaphragmArea, -2));
        yield return Make("resistance/area²", "Pa·s/m³", receiver.Resistance / (S * S), (ReceiverParameter.Resistance, 1), (ReceiverParameter.DiaphragmArea, -2));
        yield return Make(
            "compliance of suspension and rear volume", "m³/Pa", 1 / (spring + air),
            (ReceiverParameter.Compliance, share), (ReceiverParameter.DiaphragmArea, 2 * share), (ReceiverParameter.RearVolume, 1 - share));

        FitCombination Make(string name, string unit, double value, params (int Parameter, double Power)[] powers)
        {
            int[] free = problem.Free;
            double[] gradient = new double[free.Length];
            foreach ((int parameter, double power) in powers)
            {
                if (Array.IndexOf(free, parameter) is >= 0 and var i)
                {
                    gradient[i] = power;
                }
            }

            return new(name, unit, value, gradient.All(g => g == 0) ? 0 : directions.Error(gradient));
        }
    }
}
