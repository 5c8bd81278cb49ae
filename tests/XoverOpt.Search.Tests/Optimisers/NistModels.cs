using System.Numerics;
using static System.Numerics.Complex;

namespace XoverOpt.Search.Tests;

/// <summary>Models of the NIST StRD nonlinear regression sets, from memory; complex, so that derivatives can be had by a complex step.</summary>
internal static class NistModels
{
    public static Complex Value(string set, Complex[] b, double x) => set switch
    {
        "Misra1a" or "BoxBOD" => b[0] * (1 - Exp(-b[1] * x)),
        "Misra1b" => b[0] * (1 - Pow(1 + (b[1] * x / 2), -2)),
        "Misra1c" => b[0] * (1 - Pow(1 + (2 * b[1] * x), -0.5)),
        "Misra1d" => b[0] * b[1] * x / (1 + (b[1] * x)),
        "Chwirut1" or "Chwirut2" => Exp(-b[0] * x) / (b[1] + (b[2] * x)),
        "DanWood" => b[0] * Exp(b[1] * Math.Log(x)),
        "Rat42" => b[0] / (1 + Exp(b[1] - (b[2] * x))),
        "Rat43" => b[0] / Pow(1 + Exp(b[1] - (b[2] * x)), 1 / b[3]),
        "MGH09" => b[0] * ((x * x) + (x * b[1])) / ((x * x) + (x * b[2]) + b[3]),
        "MGH10" => b[0] * Exp(b[1] / (x + b[2])),
        "MGH17" => b[0] + (b[1] * Exp(-x * b[3])) + (b[2] * Exp(-x * b[4])),
        "Eckerle4" => b[0] / b[1] * Exp(-0.5 * (x - b[2]) * (x - b[2]) / (b[1] * b[1])),
        "Bennett5" => b[0] * Pow(b[1] + x, -1 / b[2]),
        "Kirby2" => (b[0] + (x * (b[1] + (x * b[2])))) / (1 + (x * (b[3] + (x * b[4])))),
        "Hahn1" or "Thurber" => (b[0] + (x * (b[1] + (x * (b[2] + (x * b[3])))))) / (1 + (x * (b[4] + (x * (b[5] + (x * b[6])))))),
        "Gauss1" or "Gauss2" or "Gauss3" => (b[0] * Exp(-b[1] * x)) + Bell(b[2], b[3], b[4], x) + Bell(b[5], b[6], b[7], x),
        "Lanczos1" or "Lanczos2" or "Lanczos3" => (b[0] * Exp(-b[1] * x)) + (b[2] * Exp(-b[3] * x)) + (b[4] * Exp(-b[5] * x)),
        "Roszman1" => b[0] - (b[1] * x) - (Atan(b[2] / (x - b[3])) / Math.PI),
        _ => throw new ArgumentException(set, nameof(set)),
    };

    private static Complex Bell(Complex height, Complex centre, Complex width, double x) => height * Exp(-(x - centre) * (x - centre) / (width * width));
}
