// SPDX-License-Identifier: MIT
return 0;
