namespace XoverOpt.Search;

/// <summary>
/// Normal deviates by ratio of uniforms with quadratic bounds (J. L. Leva, "A fast normal random number generator", ACM TOMS 18 (1992)
/// 449–453, algorithm 712). Nothing is kept from one deviate to the next, so the state is the generator's; and as the logarithm only
/// decides on acceptance, the bits do not hang on its last digit.
/// </summary>
public static class NormalDeviates
{
    /// <summary>The next deviate of mean 0 and variance 1.</summary>
    public static double NextNormal(this Random64 random)
    {
        while (true)
        {
            double u = 1 - random.NextDouble(), v = 1.7156 * (random.NextDouble() - 0.5);
            double x = u - 0.449871, y = Math.Abs(v) + 0.386595;
            double q = (x * x) + (y * ((0.19600 * y) - (0.25472 * x)));
            if (q < 0.27597 || (q <= 0.27846 && v * v <= -4 * Math.Log(u) * u * u))
            {
                return v / u;
            }
        }
    }
}
