"""Prints boundary_layer_reference.csv: F(x) = 2 J1(x)/(x J0(x)) and 1 - F on x^2 = -j|x|^2, by mpmath (pip install mpmath)."""
from mpmath import mp, mpf, mpc, besselj, sqrt, nstr

mp.dps = 60
print("abs_x,F_re,F_im,one_minus_F_re,one_minus_F_im")
for text in ["1e-8", "1e-4", "1e-3", "0.01", "0.1", "0.3", "0.7", "1", "1.5", "2", "3", "4", "5", "7", "10", "15", "20", "30", "50",
             "70", "100", "150", "200", "300", "500", "700", "1000", "1500", "2000", "5000", "10000", "100000"]:
    x = sqrt(mpc(0, -1)) * mpf(text)
    # For |x| up to 1e5 the Bessel functions reach e^70000; mpmath's exponents have no limit.
    f = 2 * besselj(1, x) / (x * besselj(0, x))
    g = -besselj(2, x) / besselj(0, x)
    assert abs(1 - f - g) < mpf(10) ** -50
    print(",".join([text] + [nstr(v, 30) for v in (f.real, f.imag, g.real, g.imag)]))
